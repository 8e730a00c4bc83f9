import type { PointReading, RulerReadings } from '../defects/page-geometry.js';
import { readPaperWeight } from '../defects/paper.js';
import type { Told } from '../defects/signs.js';
import { nearestSymptom, symptomOf, symptomWords } from '../defects/symptoms.js';
import { ProgramProblem } from '../model/problem.js';
import { MEDIA_SIZES } from '../registry/media.generated.js';
import type { Technology, TradeSymptom } from '../registry/trade.js';
import type { PageShape } from '../wire/job/page-memory.js';
import { badOption } from './options.js';

// Readers of the options that only `defect` has. Each throws one sentence for a value that can't be.

const MOST_MARKS = 60;
/** Longest page that anybody measures marks on, in mm. */
const LONGEST_MM = 5000;

/** A word for a symptom. */
export function readSymptom(text: string): TradeSymptom {
  const symptom = symptomOf(text);
  if (symptom !== undefined) return symptom;
  const close = nearestSymptom(text);
  const words = symptomWords().map(({ word }) => word);
  const hint = close === undefined ? `there are ${words.join(', ')}.` : `did you mean "${close}"?`;
  throw new ProgramProblem('symptom', `There is no symptom "${text}"; ${hint}`);
}

const TECHNOLOGIES: Readonly<Record<string, Technology>> = {
  laser: 'laser',
  led: 'laser',
  inkjet: 'inkjet',
  ink: 'inkjet',
  thermal: 'thermal',
  impact: 'impact',
};

export function readTechnology(text: string): Technology {
  const wanted = text.trim().toLowerCase();
  const found = Object.hasOwn(TECHNOLOGIES, wanted) ? TECHNOLOGIES[wanted] : undefined;
  if (found === undefined) throw badOption('--technology', 'laser, inkjet, thermal or impact', text);
  return found;
}

/** A finite number within bounds; both ends included. */
function numberWithin(text: string | undefined, lowest: number, highest: number): number | undefined {
  const trimmed = (text ?? '').trim();
  if (!/^[-+]?(\d+(\.\d*)?|\.\d+)$/.test(trimmed)) return undefined;
  const value = Number(trimmed);
  return value >= lowest && value <= highest ? value : undefined;
}

/** So many numbers in a row, with commas between; undefined for anything else. */
function numbers(text: string, count: number, lowest: number, highest: number): readonly number[] | undefined {
  const parts = text.split(',');
  const values = parts.flatMap((part) => numberWithin(part, lowest, highest) ?? []);
  return values.length === count && parts.length === count ? values : undefined;
}

/** `12,5 106,7`: two positions to whoever writes fractions with a comma, four to whoever does not. */
const COMMAS_FOR_POINTS = /^\s*-?\d{1,4}(?:,\d{1,4})?(?:[;\s]+-?\d{1,4}(?:,\d{1,4})?){1,60}\s*$/;

/** `MM,MM,…`: one to 60 positions. */
export function readMarkList(text: string): readonly number[] {
  if (text.includes(',') && COMMAS_FOR_POINTS.test(text)) {
    throw badOption('--marks', 'a point before the fraction, as in 12.5,106.7,201', text);
  }
  const parts = text.split(/[,;\s]+/).filter((part) => part !== '');
  const values = parts.flatMap((part) => numberWithin(part, -LONGEST_MM, LONGEST_MM) ?? []);
  if (values.length > 0 && values.length === parts.length && values.length <= MOST_MARKS) return values;
  throw badOption('--marks', `up to ${MOST_MARKS} positions in mm, as in 12.5,106.7,201`, text);
}

export function readReadingError(text: string): number {
  const value = numberWithin(text, 0.01, 20);
  if (value === undefined) throw badOption('--reading-error', 'millimetres from 0.01 to 20', text);
  return value;
}

/** `MEASURED/PRINTED` → how many millimetres of paper one printed millimetre is. */
export function readScale(text: string): number {
  const [measured, printed, more] = text.split('/').map((part) => numberWithin(part, 0.001, LONGEST_MM));
  const scale = measured === undefined || printed === undefined ? undefined : measured / printed;
  if (scale !== undefined && more === undefined && text.split('/').length === 2 && scale >= 0.1 && scale <= 10)
    return scale;
  throw badOption('--scale', 'MEASURED/PRINTED in mm, as in 97/100', text);
}

/** Sizes by the names that people use (PWG 5101.1). */
const SHORT_NAMES: Readonly<Record<string, string>> = {
  a3: 'iso_a3_297x420mm',
  a4: 'iso_a4_210x297mm',
  a5: 'iso_a5_148x210mm',
  letter: 'na_letter_8.5x11in',
  legal: 'na_legal_8.5x14in',
  tabloid: 'na_ledger_11x17in',
};

/** `SIZE,DPI[,PLANES[,BITS]]`: `a4,600`, `letter,600x1200,4,1`, `iso_a3_297x420mm,600,4,8`. */
export function readPage(text: string): PageShape {
  const [size = '', dots = '', inks = '1', depth = '1', more] = text
    .split(',')
    .map((part) => part.trim().toLowerCase());
  const name = Object.hasOwn(SHORT_NAMES, size) ? (SHORT_NAMES[size] ?? size) : size;
  const media = Object.hasOwn(MEDIA_SIZES, name) ? MEDIA_SIZES[name] : undefined;
  const [x, y = x, third] = dots.split('x').map((part) => numberWithin(part, 10, 9_600));
  const [planes, bits] = [numberWithin(inks, 1, 12), numberWithin(depth, 1, 16)];
  const known = [1, 2, 4, 8, 16].includes(bits ?? 0) && Number.isInteger(planes);
  if (
    media === undefined ||
    x === undefined ||
    y === undefined ||
    planes === undefined ||
    bits === undefined ||
    !known ||
    third !== undefined ||
    more !== undefined
  )
    throw badOption('--page', 'SIZE,DPI,PLANES,BITS, as in a4,600,4,1 (planes and bits are 1 where left out)', text);
  return { widthMm: media.x / 100, lengthMm: media.y / 100, dpiX: x, dpiY: y, planes, bits };
}

/** `64 MB`, in octets. */
export function readMemory(text: string): number {
  const [, number, unit = 'm'] = /^(\d{1,6}(?:\.\d{1,6})?)\s{0,3}([kmg])?(?:i?b)?$/i.exec(text.trim()) ?? [];
  const factor = { k: 1e3, m: 1e6, g: 1e9 }[unit.toLowerCase() as 'k' | 'm' | 'g'];
  if (number === undefined || Number(number) <= 0) throw badOption('--memory', 'megabytes, as in 64 MB', text);
  return Number(number) * factor;
}

/** What the options say of paper and room. */
export function readTold(given: {
  readonly paper?: string | undefined;
  readonly grain?: string | undefined;
  readonly humidity?: string | undefined;
  readonly page?: string | undefined;
  readonly memory?: string | undefined;
}): Told {
  const gsm = given.paper === undefined ? undefined : readPaperWeight(given.paper);
  if (given.paper !== undefined && gsm === undefined) {
    throw badOption('--paper', 'a weight, as in "80 g/m2" or "20 lb bond"', given.paper);
  }
  if (given.grain !== undefined && given.grain !== 'along' && given.grain !== 'across') {
    throw badOption('--grain', 'along or across', given.grain);
  }
  const humidity =
    given.humidity === undefined ? undefined : numberWithin(given.humidity.trim().replace(/%$/, ''), 0, 100);
  if (given.humidity !== undefined && humidity === undefined) {
    throw badOption('--humidity', 'percent from 0 to 100', given.humidity);
  }
  return {
    ...(gsm === undefined ? {} : { gsm }),
    ...(given.grain === undefined ? {} : { grain: given.grain }),
    ...(humidity === undefined ? {} : { humidity }),
    ...(given.page === undefined ? {} : { page: readPage(given.page) }),
    ...(given.memory === undefined ? {} : { memoryBytes: readMemory(given.memory) }),
  };
}

function readPoint(text: string): PointReading {
  const [printed = '', measured = '', more] = text.split('=');
  const from = numbers(printed, 2, -LONGEST_MM, LONGEST_MM);
  const to = numbers(measured, 2, -LONGEST_MM, LONGEST_MM);
  if (from === undefined || to === undefined || more !== undefined) {
    throw badOption('--point', 'X,Y=X,Y in mm, where a mark should lie and where it is', text);
  }
  return { printed: { x: from[0] ?? 0, y: from[1] ?? 0 }, measured: { x: to[0] ?? 0, y: to[1] ?? 0 } };
}

/** A page may come out at half its size or at twice: what is further off was measured or typed wrongly. */
function areDiagonals([first = 0, second = 0, width = 0, height = 0]: readonly number[]): boolean {
  const whole = Math.hypot(width, height);
  return [first, second].every((diagonal) => diagonal >= whole / 2 && diagonal <= whole * 2);
}

function isAcross([left = 0, right = 0, length = 0]: readonly number[]): boolean {
  return Math.abs(left - right) < length;
}

/** Ruler readings of the sheet. */
export function readRuler(given: {
  readonly point?: readonly string[] | undefined;
  readonly diagonals?: string | undefined;
  readonly line?: string | undefined;
}): RulerReadings {
  const diagonals = given.diagonals === undefined ? undefined : numbers(given.diagonals, 4, 1, LONGEST_MM);
  if (given.diagonals !== undefined && (diagonals === undefined || !areDiagonals(diagonals))) {
    const takes = 'FIRST,SECOND,WIDTH,HEIGHT in mm, both diagonals about as long as width and height make them';
    throw badOption('--diagonals', takes, given.diagonals);
  }
  const line = given.line === undefined ? undefined : numbers(given.line, 3, 0, LONGEST_MM);
  if (given.line !== undefined && (line === undefined || !isAcross(line))) {
    throw badOption('--line', 'LEFT,RIGHT,LENGTH in mm, the two less apart than the line is long', given.line);
  }
  const [first = 0, second = 0, width = 1, height = 1] = diagonals ?? [];
  const [left = 0, right = 0, length = 1] = line ?? [];
  return {
    points: (given.point ?? []).map(readPoint),
    ...(diagonals === undefined ? {} : { diagonals: { first, second, width, height } }),
    ...(line === undefined ? {} : { line: { first: left, second: right, length } }),
  };
}
