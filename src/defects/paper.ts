import type { PaperReading } from '../model/defect.js';
import { PAPER } from '../registry/trade.generated.js';

/** Grams in a pound and metres in an inch, both exact (international yard and pound, 1959). */
const GRAMS_PER_POUND = 453.59237;
const METRES_PER_INCH = 0.0254;
const SHEETS_PER_REAM = 500;

export type Grade = (typeof PAPER.grades)[number];

/** The grade that a word names: `bond`, `text` or `book`, `cover`, `index`, `tag`. */
export function gradeOf(word: string): Grade | undefined {
  const wanted = word.trim().toLowerCase();
  return PAPER.grades.find(({ grade, also }) => grade === wanted || also.includes(wanted));
}

/** g/m² of one pound of a grade: 500 sheets of its basic size weigh as many pounds as it is called. */
export function gsmPerPound({ inches: [width, length] }: Pick<Grade, 'inches'>): number {
  return GRAMS_PER_POUND / (SHEETS_PER_REAM * width * length * METRES_PER_INCH ** 2);
}

export function gsmOfPounds(pounds: number, grade: Grade): number {
  return pounds * gsmPerPound(grade);
}

export function poundsOfGsm(gsm: number, grade: Grade): number {
  return gsm / gsmPerPound(grade);
}

const WEIGHT = /^(\d{1,4}(?:[.,]\d{1,2})?)\s{0,4}(?:(g\/?m?[²2]?|gsm)|(?:lbs?\.?|#)\s{0,4}([a-z]+))?$/i;

/** "80", "80 g/m2", "80gsm", "20 lb bond", "24# cover" → g/m². Undefined for anything else, or a weight that no paper has. */
export function readPaperWeight(text: string): number | undefined {
  const match = WEIGHT.exec(text.trim());
  if (match === null) return undefined;
  const number = Number((match[1] ?? '').replace(',', '.'));
  const grade = match[3] === undefined ? undefined : gradeOf(match[3]);
  if (match[3] !== undefined && grade === undefined) return undefined;
  const gsm = grade === undefined ? number : gsmOfPounds(number, grade);
  return gsm >= 20 && gsm <= 1000 ? gsm : undefined;
}

const round = (value: number): number => Math.round(value * 10) / 10;

/** What a weight is called elsewhere and what to expect of it. */
export function paperReading(gsm: number, grain: 'along' | 'across' | undefined): PaperReading {
  const advice = adviceFor(gsm);
  const thinAcross = grain === 'across' && gsm < 80 ? ' Across the grain this weight creases the more.' : '';
  return {
    gsm: round(gsm),
    pounds: Object.fromEntries(PAPER.grades.map((grade) => [grade.grade, round(poundsOfGsm(gsm, grade))])),
    advice: [`${advice.says}${thinAcross}`, ...(grain === 'across' ? [PAPER.grain.says] : [])],
  };
}

/** The row of the table that a weight falls into. */
export function adviceFor(gsm: number): (typeof PAPER.advice)[number] {
  const row = PAPER.advice.find(({ upToGsm }) => gsm < upToGsm) ?? PAPER.advice.at(-1);
  if (row === undefined) throw new Error('the table of paper weights is empty');
  return row;
}
