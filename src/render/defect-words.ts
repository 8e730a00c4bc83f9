import type { DefectCause, DefectDocument, RepeatCandidate, RepeatSeries } from '../model/defect.js';

/** "repeating marks and ghost". */
export function symptomsInWords({ symptoms }: Pick<DefectDocument, 'symptoms'>): string {
  const words = symptoms.map((word) => word.replaceAll('-', ' '));
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** How sure the first cause is. */
export function hedgeOf({ probability }: Pick<DefectCause, 'probability'>): string {
  if (probability >= 0.85) return 'Almost certainly';
  if (probability >= 0.5) return 'Most likely';
  return 'Perhaps';
}

export function percentWords(probability: number): string {
  return probability < 0.01 ? '<1 %' : `${Math.round(probability * 100)} %`;
}

/** "every 94.2 mm (± 0.2), at turns 0, 1, 3". */
export function seriesInWords({ periodMm, sigmaMm, multiples }: RepeatSeries): string {
  if (periodMm === null || sigmaMm === null) return 'at no distance that can be told';
  return `every ${periodMm.toFixed(1)} mm (± ${sigmaMm.toFixed(2)}), at turns ${multiples.join(', ')}`;
}

/** Beyond so many standard deviations a size does not fit, and from so many it fits badly. */
const FITS_BADLY = 2;
const FITS_NOT = 3.5;

/** "94.2 mm, fits", "63 to 300 mm": what size a candidate has, and whether the marks lie at it. */
export function candidateSize({ circumferenceMm, z, rangeMm }: RepeatCandidate): string {
  if (rangeMm !== undefined) return `${rangeMm.from} to ${rangeMm.to} mm`;
  const off = Math.abs(z);
  const fit = off > FITS_NOT ? 'does not fit' : off > FITS_BADLY ? 'fits badly' : 'fits';
  return `${circumferenceMm.toFixed(1)} mm, ${fit}`;
}

export function costWords({ minutes, sheets }: { readonly minutes: number; readonly sheets: number }): string {
  if (sheets === 0) return `${minutes} min`;
  return `${minutes} min, ${sheets} ${sheets === 1 ? 'sheet' : 'sheets'}`;
}
