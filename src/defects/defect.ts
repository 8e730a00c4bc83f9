import {
  DEFECT_SCHEMA,
  type DefectCause,
  type DefectDocument,
  type PageGeometry,
  type PageMemory,
  type PaperReading,
} from '../model/defect.js';
import { SYMPTOMS } from '../registry/trade.generated.js';
import type { Technology, TradeSymptom } from '../registry/trade.js';
import { JAM_PLACES } from './alert-signs.js';
import { type Belief, beliefsOf, type Known, speaksOf } from './beliefs.js';
import { cautionsOf } from './cautions.js';
import type { DeviceReading } from './device-reading.js';
import type { FoundSign, GivenAnswer } from './evidence.js';
import { readMarks } from './mark-reading.js';
import { nextDefectChecks } from './next-checks.js';
import { pageMemory } from './page-memory.js';
import { paperReading } from './paper.js';
import type { PastIncident } from './past-signs.js';
import type { RotatingPart } from './rotating-parts.js';
import { findSigns, sentenceOf, type Told, weightOf } from './signs.js';
import { names, symptomOf, symptomWords, technologiesOf } from './symptoms.js';

/** Everything that was asked, told and read. */
export interface DefectQuestion {
  readonly target: string | null;
  readonly symptoms: readonly TradeSymptom[];
  readonly technology?: Technology;
  readonly marks?: { readonly mm: readonly number[]; readonly error: number; readonly scale: number };
  readonly parts?: readonly RotatingPart[];
  readonly device?: DeviceReading;
  readonly told: Told;
  /** What went wrong at this printer before. */
  readonly past?: readonly PastIncident[];
  readonly answers: readonly GivenAnswer[];
  readonly geometry: PageGeometry | null;
  /** What could not be read. */
  readonly notes: readonly string[];
}

/** In offices. From memory. */
const COMMONEST: readonly Technology[] = ['laser', 'inkjet', 'thermal', 'impact'];
const MOST_RANKED = 8;
const LEAST_SHOWN = 0.01;
const MOST_CHECKS = 5;

/** Says what makes the pages bad: causes with their odds, parts and steps, and what to look at next. Pure. */
export function explainDefect(asked: DefectQuestion): DefectDocument {
  const { technology, technologyFrom } = technologyOf(asked);
  const symptoms = withMarks(asked);
  const reading =
    asked.marks &&
    readMarks({
      marks: asked.marks.mm,
      error: asked.marks.error,
      scale: asked.marks.scale,
      of: symptoms.some(({ word }) => word === 'ghost') ? 'ghost' : 'marks',
      ...(asked.parts === undefined ? {} : { parts: asked.parts }),
    });
  const signs = findSigns(asked.device, asked.told, asked.past);
  const known = {
    technology,
    symptoms: located(symptoms, signs),
    signs,
    answers: asked.answers,
    ...(reading === undefined ? {} : { marks: reading.evidence }),
  };
  const beliefs = beliefsOf(known);
  const explained = symptoms.some((symptom) => technologiesOf(symptom).includes(technology));
  const ranked = explained ? rank(beliefs, known, symptoms, reading?.repeat.because) : [];
  return {
    schema: DEFECT_SCHEMA,
    target: asked.target,
    symptoms: symptoms.map(({ word }) => word),
    technology,
    technologyFrom,
    ranked,
    repeat: reading?.repeat ?? null,
    checks: explained ? nextDefectChecks(beliefs, known, MOST_CHECKS) : [],
    signs: signs.map(sentenceOf),
    geometry: asked.geometry,
    paper: paperOf(asked.told),
    memory: memoryOf(asked),
    notes: [...asked.notes, ...notesOf(asked, { technology, technologyFrom }, symptoms, beliefs)],
    words: symptoms.length === 0 ? symptomWords(technologyFrom === 'assumed' ? undefined : technology) : [],
  };
}

/** Told, else read, else the commonest that shows all of the symptoms. */
function technologyOf({
  technology,
  device,
  symptoms,
}: DefectQuestion): Pick<DefectDocument, 'technology' | 'technologyFrom'> {
  if (technology !== undefined) return { technology, technologyFrom: 'told' };
  if (device?.technology !== undefined) return { technology: device.technology, technologyFrom: 'printer' };
  const possible = COMMONEST.filter((one) => symptoms.every((symptom) => technologiesOf(symptom).includes(one)));
  return { technology: possible[0] ?? 'laser', technologyFrom: 'assumed' };
}

/** Marks without a word for them are repeating marks; a print that is turned is skew. */
function withMarks({ symptoms, marks, geometry }: DefectQuestion): readonly TradeSymptom[] {
  const words = symptoms.map(({ word }) => word);
  const meant =
    marks !== undefined && !words.includes('ghost') && !words.includes('repeating-marks') ? ['repeating-marks'] : [];
  const skewed = words.length === 0 && Math.abs(geometry?.skewDegrees ?? 0) >= 0.3 ? ['skew'] : [];
  return [...symptoms, ...[...meant, ...skewed].flatMap((word) => symptomOf(word) ?? [])];
}

/** Where a person only says "jam", the printer's own alert may say where. */
function located(symptoms: readonly TradeSymptom[], signs: readonly FoundSign[]): readonly TradeSymptom[] {
  const place = signs.map(({ when }) => JAM_PLACES[when]).find((word) => word !== undefined);
  const known = SYMPTOMS.find(({ word }) => word === place);
  return symptoms.map((symptom) => (symptom.word === 'jam' && known !== undefined ? known : symptom));
}

function paperOf({ gsm, grain }: Told): PaperReading | null {
  return gsm === undefined ? null : paperReading(gsm, grain);
}

/** The page that was told, beside the memory that was told or read. */
function memoryOf({ told, device }: DefectQuestion): PageMemory | null {
  const memory = told.memoryBytes ?? device?.printer.memoryBytes ?? null;
  return told.page === undefined ? null : (pageMemory(told.page, memory) ?? null);
}

function rank(
  beliefs: readonly Belief[],
  { technology, signs, answers }: Pick<Known, 'technology' | 'signs' | 'answers'>,
  symptoms: readonly TradeSymptom[],
  marks: string | undefined,
): readonly DefectCause[] {
  return beliefs
    .filter(({ probability }) => probability >= LEAST_SHOWN)
    .slice(0, MOST_RANKED)
    .map(({ cause, part, probability }) => ({
      cause: cause.id,
      part,
      probability: Math.round(probability * 1000) / 1000,
      summary: cause.says,
      because: [
        ...(symptoms.some((symptom) => names(symptom, cause)) ? [cause.because] : []),
        ...(marks !== undefined && (cause.turns ?? cause.echoes) !== undefined ? [marks] : []),
        ...signs.flatMap((sign) => {
          const weight = weightOf(sign, cause.id);
          return weight === undefined ? [] : [`${sentenceOf(sign)} (${weight})`];
        }),
        ...answers.filter((answer) => speaksOf(answer, cause)).map(({ check, outcome }) => `${check}: ${outcome}`),
      ],
      next: cause.next.map(({ step, minutes, cautions }) => ({
        step,
        minutes,
        cautions: cautionsOf(cautions, technology),
      })),
      source: cause.source,
    }));
}

function notesOf(
  { parts, marks, technology: told, device }: DefectQuestion,
  { technology, technologyFrom: from }: Pick<DefectDocument, 'technology' | 'technologyFrom'>,
  symptoms: readonly TradeSymptom[],
  beliefs: readonly Belief[],
): readonly string[] {
  const notes: string[] = [];
  if (from === 'assumed' && symptoms.length > 0)
    notes.push(`Taken for ${technologyWords(technology)}; --technology says otherwise.`);
  if (told !== undefined && device?.technology !== undefined && device.technology !== told) {
    notes.push(`The printer calls itself ${device.technology}, and is judged as ${told} because you say so.`);
  }
  if (marks !== undefined && parts === undefined) {
    notes.push(
      'Without a model file parts are known by general ranges only, which overlap: take the circumferences from the maker’s service manual and give them with --model.',
    );
  }
  const shared = beliefs.some(({ cause }) => symptoms.every((symptom) => names(symptom, cause)));
  if (symptoms.length > 1 && !shared)
    notes.push('No single cause of the tables shows all of this: there may be two faults.');
  if (symptoms.length > 0)
    notes.push('Weights and limits are common practice, no published source; the maker’s service manual decides.');
  return notes;
}

/** True when nothing in the tables speaks of these symptoms, or the marks do not decide. */
export function undecided({ symptoms, ranked, repeat }: DefectDocument): boolean {
  return symptoms.length > 0 && (ranked.length === 0 || repeat?.decidable === false);
}

/** "a laser printer", "an inkjet printer". */
export function technologyWords(technology: Technology): string {
  return `${/^[aeiou]/.test(technology) ? 'an' : 'a'} ${technology} printer`;
}
