import type { RepeatCandidate, RepeatReading, RepeatSeries } from '../model/defect.js';
import { PART_RANGES } from '../registry/trade.generated.js';
import { GHOST_SEEN, MARK_SEEN, REACH, turnsShown } from './comb-odds.js';
import type { MarkEvidence, MarkSource } from './evidence.js';
import { type Series, solveRepeat } from './repeat.js';
import { kindOfPart, type RotatingPart } from './rotating-parts.js';

export interface MarksGiven {
  /** Positions along the feed as read, in mm. */
  readonly marks: readonly number[];
  /** Standard deviation of one reading, in mm. */
  readonly error: number;
  /** Paper distance of one printed millimetre: what the printed ruler measures over what it says. */
  readonly scale: number;
  /** Undefined without a model file. */
  readonly parts?: readonly RotatingPart[];
  readonly of: 'marks' | 'ghost';
}

/** Reads the marks, and says what they mean for each cause. */
export function readMarks(given: MarksGiven): { readonly repeat: RepeatReading; readonly evidence: MarkEvidence } {
  const { scale, parts = [], of } = given;
  const series = solveRepeat({
    marks: given.marks.map((mm) => mm * scale),
    error: given.error * scale,
    parts,
    seen: of === 'ghost' ? GHOST_SEEN : MARK_SEEN,
  });
  const shown = series.map((one) => ({ one, shown: seriesOf(one, parts, of) }));
  const [first, second] = shown;
  if (first === undefined) throw new Error('a reading of marks has at least one series');
  const strays = first.one.readings.filter((_, at) => first.one.comb?.turns[at] === null);
  const straysMm = first.one.comb === undefined ? first.one.readings : strays;
  return {
    repeat: { ...first.shown, straysMm: straysMm.map(tenth), second: second?.shown ?? null },
    evidence: { ...evidenceOf(series, parts), of },
  };
}

const tenth = (mm: number): number => Math.round(mm * 10) / 10 + 0;
const hundredth = (mm: number): number => Math.round(mm * 100) / 100;
const thousandth = (share: number): number => Math.round(Math.min(1, Math.max(0, share)) * 1000) / 1000;

function seriesOf(series: Series, parts: readonly RotatingPart[], of: 'marks' | 'ghost'): RepeatSeries {
  const { comb, readings } = series;
  const held = comb !== undefined && Number.isFinite(comb.sigma);
  const members = readings.filter((_, at) => comb !== undefined && comb.turns[at] !== null);
  return {
    periodMm: held ? hundredth(comb.freePeriod) : null,
    sigmaMm: held ? hundredth(comb.sigma) : null,
    marksMm: members.map(tenth),
    multiples: (comb?.turns ?? []).filter((turn) => turn !== null),
    decidable: series.decided,
    because: reasonOf(series, parts, of),
    candidates: parts.length > 0 ? modelCandidates(series) : rangeCandidates(series),
  };
}

function modelCandidates(series: Series): readonly RepeatCandidate[] {
  return series.parts.map(({ part, z, probability }) => ({
    part: part.part,
    circumferenceMm: hundredth(part.circumferenceMm),
    z: Math.round(Math.max(-999, Math.min(999, z)) * 10) / 10 + 0,
    probability: thousandth(probability),
  }));
}

/** Share of belief of each kind by its range: the ranges' edges are soft by this share of the size. */
const SOFT_EDGE = 0.03;

/**
 * How well a distance fits a part that no range tells of: one such part in a hundred, of any size that is thought of (common
 * practice, no published source). What fits every range worse than this belongs to none of them.
 */
const OF_NO_RANGE = 0.01 / Math.log(REACH.longestMm / REACH.shortestMm);

function densityIn(range: (typeof PART_RANGES)[number], mm: number): number {
  const outside = Math.max(range.lowMm - mm, mm - range.highMm, 0) / (SOFT_EDGE * mm);
  return Math.exp(-(outside ** 2) / 2) / Math.log(range.highMm / range.lowMm);
}

function rangeShares(
  series: Series,
): readonly { readonly kind: string; readonly likelihood: number; readonly share: number }[] {
  const likelihoods = PART_RANGES.map((range) => ({
    kind: range.kind,
    weight: range.weight,
    likelihood: series.periods.reduce((sum, { mm, share }) => sum + share * densityIn(range, mm), 0),
  }));
  const total = likelihoods.reduce((sum, { weight, likelihood }) => sum + weight * likelihood, OF_NO_RANGE);
  return likelihoods.map(({ kind, weight, likelihood }) => ({
    kind,
    likelihood,
    share: (weight * likelihood) / total,
  }));
}

function rangeCandidates(series: Series): readonly RepeatCandidate[] {
  const period = series.comb?.freePeriod;
  if (period === undefined || !Number.isFinite(series.comb?.sigma)) return [];
  return rangeShares(series)
    .flatMap(({ kind, share }) => {
      const range = PART_RANGES.find((row) => row.kind === kind);
      if (range === undefined || share < 0.001) return [];
      const nearest = Math.min(range.highMm, Math.max(range.lowMm, period));
      const z = (period - nearest) / Math.max(series.comb?.sigma ?? 1, 0.01);
      return [
        {
          part: kind,
          circumferenceMm: hundredth(nearest),
          z: Math.round(z * 10) / 10 + 0,
          probability: thousandth(share),
          rangeMm: { from: range.lowMm, to: range.highMm },
        },
      ];
    })
    .sort((a, b) => b.probability - a.probability);
}

/** What all series together say: with two, a cause of either part explains half of what is seen. */
function evidenceOf(series: readonly Series[], parts: readonly RotatingPart[]): Omit<MarkEvidence, 'of'> {
  const sources = series.flatMap((one) => (parts.length > 0 ? partSources(one) : kindSources(one)));
  const merged = new Map<string, MarkSource>();
  for (const source of sources) {
    const key = source.part?.part ?? source.kind;
    const before = merged.get(key)?.share ?? 0;
    merged.set(key, { ...source, share: before + source.share / series.length });
  }
  const total = [...merged.values()].reduce((sum, { share }) => sum + share, 0);
  return { sources: [...merged.values()], another: Math.max(0, 1 - total) };
}

function partSources(series: Series): readonly MarkSource[] {
  return series.parts.map(({ part, probability }) => ({
    kind: kindOfPart(part.part) ?? 'other',
    part,
    share: probability,
  }));
}

/** By ranges, the causes bring their own weights: only how well each range fits is handed on. */
function kindSources(series: Series): readonly MarkSource[] {
  const shares = rangeShares(series);
  const most = Math.max(...shares.map(({ likelihood }) => likelihood), OF_NO_RANGE);
  const total = shares.reduce((sum, { likelihood }) => sum + likelihood / most, 0);
  return shares.map(({ kind, likelihood }) => ({
    kind,
    share: ((likelihood / most) * (1 - series.scattered)) / Math.max(1, total),
  }));
}

const mm = (value: number): string => `${value.toFixed(1)} mm`;

function reasonOf(series: Series, parts: readonly RotatingPart[], of: 'marks' | 'ghost'): string {
  const { comb, readings, decided } = series;
  const two =
    of === 'ghost'
      ? 'A ghost needs at least two places: the print and its echo'
      : 'One mark has no distance: read at least three';
  if (readings.length < 2) return `${two}.`;
  if (comb === undefined) return 'No two marks lie at a distance that a turning part could have: read them again.';
  const period = `${mm(comb.freePeriod)} ± ${mm(comb.sigma)}`;
  const shown = turnsShown(comb);
  if (!decided) return undecided(series, period, shown, parts);
  const best = series.parts[0];
  const turns = `${shown} turns with marks`;
  if (parts.length === 0) return `${turns} lie ${period} apart, and no other distance fits as well.`;
  return `${turns} lie ${period} apart; ${best?.part.part ?? 'one part'} (${mm(best?.part.circumferenceMm ?? 0)}) fits, and no other part of the model does as well.`;
}

function undecided(series: Series, period: string, shown: number, parts: readonly RotatingPart[]): string {
  const { comb, rival, certainty, scattered } = series;
  const own = comb?.freePeriod ?? 0;
  if (scattered > 0.5) return 'The marks lie without order: they do not come from one turn of one part.';
  if (parts.length === 0 && shown < 3) {
    return `Two turns give one distance, ${mm(own)}: the part may be of that size, or of a half or a third of it with marks missed between. Read at least three marks.`;
  }
  if (parts.length > 0 && !series.ofPart) {
    return `The marks lie ${period} apart, and no part of the model file has that circumference: look it up in the service manual, or read the marks again.`;
  }
  if (rival === undefined)
    return `Too few marks belong to one distance (${period}): read more of them, over more of the page.`;
  const name = rival.part === undefined ? 'another part' : rival.part;
  const ratio = own / rival.period;
  const turns = Math.round(ratio);
  if (turns >= 2 && Math.abs(ratio - turns) < 0.05 * turns) {
    return `${mm(own)} fits (${percent(certainty)}), and so does ${fraction(turns)} of it, ${mm(rival.period)}${parts.length > 0 ? ` (${name})` : ''}, if marks were missed. Look for a faint mark ${mm((comb?.phase ?? 0) + own / turns)} down: one there decides.`;
  }
  return `${bothWords(series, rival)} lie within the error of the reading: read more marks, over more of the page.`;
}

/** With a model both readings give nearly the same distance: what tells them apart are the parts and their circumferences. */
function bothWords({ comb, certainty, parts }: Series, rival: NonNullable<Series['rival']>): string {
  const best = parts[0]?.part;
  if (best === undefined) return `${mm(comb?.freePeriod ?? 0)} (${percent(certainty)}) and ${mm(rival.period)}`;
  const other = parts.find(({ part }) => part !== best && part.part === rival.part)?.part;
  const otherWords =
    other === undefined ? `another part (${mm(rival.period)})` : `${other.part} (${mm(other.circumferenceMm)})`;
  return `${best.part} (${mm(best.circumferenceMm)}, ${percent(certainty)}) and ${otherWords}`;
}

function fraction(turns: number): string {
  return turns === 2 ? 'half' : turns === 3 ? 'a third' : `1/${turns}`;
}

function percent(share: number): string {
  return `${Math.round(share * 100)} %`;
}
