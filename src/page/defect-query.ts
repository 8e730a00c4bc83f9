import { type DefectQuestion, explainDefect } from '../defects/defect.js';
import { readDevice } from '../defects/device-reading.js';
import { symptomOf } from '../defects/symptoms.js';
import type { DefectDocument } from '../model/defect.js';
import { CHECKS } from '../registry/trade.generated.js';
import type { Technology, TradeSymptom } from '../registry/trade.js';
import { readTold, type Told } from './answer-query.js';
import type { PrinterView } from './view.js';

/** What was chosen, answered and measured about bad pages: it all stands in the address. */
export interface DefectTold extends Told {
  readonly symptoms: readonly TradeSymptom[];
  readonly technology: Technology | null;
  /** As it was typed. */
  readonly marks: string;
  /** Null: none, or not to be read. */
  readonly marksMm: readonly number[] | null;
}

export const TECHNOLOGIES: readonly Technology[] = ['laser', 'inkjet', 'thermal', 'impact'];
const MOST_SYMPTOMS = 6;
const MOST_MARKS = 60;
/** Longest page that anybody measures marks on, in mm. */
const LONGEST_MM = 5_000;
/** Of a person with a ruler. Common practice, no published source. */
const READING_ERROR_MM = 0.5;

/** Reads `symptom`, `technology`, `marks` and the answers of an address. What is none of them counts as not said. */
export function readDefectTold(query: URLSearchParams): DefectTold {
  const words = query.getAll('symptom').slice(0, MOST_SYMPTOMS);
  const technology = query.get('technology');
  const marks = (query.get('marks') ?? '').trim().slice(0, 600);
  return {
    ...readTold(query, CHECKS),
    symptoms: [...new Set(words.flatMap((word) => symptomOf(word) ?? []))],
    technology: TECHNOLOGIES.find((one) => one === technology) ?? null,
    marks,
    marksMm: readMarks(marks),
  };
}

/** Positions in mm: spaces or semicolons between them, or commas followed by a space; a decimal comma is one too. */
function readMarks(text: string): readonly number[] | null {
  const parts = text.split(/[;\s]+|,\s+/).map((part) => part.replace(/[,;]$/, ''));
  const given = parts.filter((part) => part !== '');
  if (given.length === 0 || given.length > MOST_MARKS) return null;
  const values = given.map((part) => (/^\d{1,4}([.,]\d{1,3})?$/.test(part) ? Number(part.replace(',', '.')) : -1));
  return values.every((value) => value >= 0 && value <= LONGEST_MM) ? values : null;
}

/** Names and values that carry what was chosen from page to page, the answers left out. */
export function defectFields(
  { symptoms, technology, marks }: Pick<DefectTold, 'symptoms' | 'technology' | 'marks'>,
  printer: string | null,
): readonly (readonly [string, string])[] {
  return [
    ...(printer === null ? [] : [['printer', printer] as const]),
    ...(technology === null ? [] : [['technology', technology] as const]),
    ...symptoms.map(({ word }) => ['symptom', word] as const),
    ...(marks === '' ? [] : [['marks', marks] as const]),
  ];
}

/** What makes the pages bad, by what was told and what the printer's newest look shows of it. */
export function defectDocument(told: DefectTold, view: PrinterView | null): DefectDocument {
  const { symptoms, technology, answers, marksMm } = told;
  const device = view?.bundle == null ? undefined : readDevice(view.bundle);
  const question: DefectQuestion = {
    target: view?.name ?? null,
    symptoms,
    answers,
    told: {},
    geometry: null,
    notes: [],
    ...(technology === null ? {} : { technology }),
    ...(device === undefined ? {} : { device }),
    ...(marksMm === null ? {} : { marks: { mm: marksMm, error: READING_ERROR_MM, scale: 1 } }),
  };
  return explainDefect(question);
}
