/** A turning part of one printer model, with the distance on the page after which its mark returns. */
export interface RotatingPart {
  readonly part: string;
  /** Circumference over the ratio of surface speeds, in mm. */
  readonly circumferenceMm: number;
}

/** What a model file says of one part: one of the two sizes, in mm. */
export interface PartSize {
  readonly part: string;
  readonly circumferenceMm?: number | undefined;
  readonly diameterMm?: number | undefined;
  /** How much faster than the paper its surface runs; 1 when it rolls along. */
  readonly speedRatio?: number | undefined;
}

/** A part's mark returns after π × diameter, or sooner when its surface outruns the paper. */
export function rotatingPart({ part, circumferenceMm, diameterMm, speedRatio }: PartSize): RotatingPart {
  const circumference = circumferenceMm ?? Math.PI * (diameterMm ?? 0);
  return { part, circumferenceMm: circumference / (speedRatio ?? 1) };
}

/** The kinds of turning parts that causes and generic ranges speak of. */
export const PART_KINDS = [
  'drum',
  'charge roller',
  'developer roller',
  'transfer roller',
  'fuser',
  'feed roller',
] as const;
export type PartKind = (typeof PART_KINDS)[number];

/** First match counts: "transfer belt drive roller" is a transfer part, "fuser pressure roller" a fuser part. */
const WORDS: readonly (readonly [RegExp, PartKind])[] = [
  [/fus|pressure|heat|sleeve|fixing/i, 'fuser'],
  [/charg|pcr\b|corona/i, 'charge roller'],
  [/devel|magnet|toner|mag\b/i, 'developer roller'],
  [/transfer|belt|itb\b/i, 'transfer roller'],
  [/drum|photo|opc\b|image|imaging/i, 'drum'],
  [/feed|regist|pick|exit|paper|platen|convey|retard|separat/i, 'feed roller'],
];

/** The kind that a part's name in a model file speaks of; undefined for a name that tells none. */
export function kindOfPart(name: string): PartKind | undefined {
  return WORDS.find(([words]) => words.test(name))?.[1];
}
