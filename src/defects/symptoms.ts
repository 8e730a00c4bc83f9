import type { SymptomWord } from '../model/defect.js';
import { nearest } from '../model/nearest.js';
import { CAUSES, SYMPTOMS } from '../registry/trade.generated.js';
import type { Technology, TradeCause, TradeSymptom } from '../registry/trade.js';

/** Chance that a cause shows a symptom that its row does not name: two faults at once, or a wrong word. From memory. */
export const UNNAMED = 0.01;

const BY_WORD: ReadonlyMap<string, TradeSymptom> = new Map(
  SYMPTOMS.flatMap((symptom) => [symptom.word, ...symptom.also].map((word) => [word, symptom] as const)),
);

function plain(word: string): string {
  return word
    .trim()
    .toLowerCase()
    .replace(/[\s_]+/g, '-')
    .replace(/color/g, 'colour');
}

/** The symptom that a word stands for, as people type it: any case, spaces for hyphens, "color". Undefined for no such word. */
export function symptomOf(word: string): TradeSymptom | undefined {
  const wanted = plain(word);
  return BY_WORD.get(wanted) ?? BY_WORD.get(wanted.replaceAll('-', ''));
}

/** The word that a mistyped one most likely meant. */
export function nearestSymptom(word: string): string | undefined {
  const close = nearest(plain(word), [...BY_WORD.keys()]);
  return close === undefined ? undefined : BY_WORD.get(close)?.word;
}

/** How likely pages with a cause show a symptom. */
export function chanceOf(symptom: TradeSymptom, cause: TradeCause): number {
  const any = symptom.anyOf ?? [symptom.word];
  const none = any.reduce((product, word) => product * (1 - (own(cause.shows, word) ?? 0)), 1);
  return Math.max(UNNAMED, 1 - none);
}

/** True when the cause's row names the symptom, or one that it leaves open. */
export function names(symptom: TradeSymptom, cause: TradeCause): boolean {
  return (symptom.anyOf ?? [symptom.word]).some((word) => own(cause.shows, word) !== undefined);
}

function own(record: Readonly<Record<string, number>>, key: string): number | undefined {
  return Object.hasOwn(record, key) ? record[key] : undefined;
}

/** Technologies whose pages can show a symptom. */
export function technologiesOf(symptom: TradeSymptom): readonly Technology[] {
  const all: readonly Technology[] = ['laser', 'inkjet', 'thermal', 'impact'];
  return (symptom.for ?? all).filter((technology) =>
    CAUSES.some((cause) => cause.for.includes(technology) && names(symptom, cause)),
  );
}

/** Every word for a symptom, those that are met most often first. */
export function symptomWords(technology?: Technology): readonly SymptomWord[] {
  return [...SYMPTOMS]
    .sort((a, b) => b.often - a.often || a.word.localeCompare(b.word))
    .map((symptom) => ({
      word: symptom.word,
      also: symptom.also,
      technologies: technologiesOf(symptom),
      says: symptom.says,
    }))
    .filter(({ technologies }) => technology === undefined || technologies.includes(technology));
}
