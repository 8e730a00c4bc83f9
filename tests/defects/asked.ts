import { type DefectQuestion, explainDefect } from '../../src/defects/defect.js';
import { symptomOf } from '../../src/defects/symptoms.js';
import type { DefectDocument } from '../../src/model/defect.js';
import type { Technology } from '../../src/registry/trade.js';

/** What is said of some symptoms, and of whatever else is given. */
export function asked(
  words: readonly string[],
  technology: Technology,
  more: Partial<DefectQuestion> = {},
): DefectDocument {
  const symptoms = words.map((word) => {
    const symptom = symptomOf(word);
    if (symptom === undefined) throw new Error(`no symptom ${word}`);
    return symptom;
  });
  return explainDefect({
    target: null,
    symptoms,
    technology,
    told: {},
    answers: [],
    geometry: null,
    notes: [],
    ...more,
  });
}
