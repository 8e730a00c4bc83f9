import type { Technology } from '../registry/trade.js';
import type { NextStep } from './layers.js';
import type { Check } from './why.js';

/** `outfeed.defect/1`: what makes pages come out bad. */
export const DEFECT_SCHEMA = 'outfeed.defect/1';

export interface DefectCause {
  readonly cause: string;
  /** What it ends at: a part (by its name in the model file where marks tell it), a setting, the paper, the sender. */
  readonly part: string;
  readonly probability: number;
  /** What is wrong, in one sentence. */
  readonly summary: string;
  readonly because: readonly string[];
  readonly next: readonly NextStep[];
  /** Where the rule comes from. Weights are common practice, no published source. */
  readonly source: string;
}

export interface RepeatCandidate {
  readonly part: string;
  /** Of the model's part; without a model the size in the kind's range that is nearest to the period. */
  readonly circumferenceMm: number;
  /** Distance of the period from the circumference, in standard deviations of both. */
  readonly z: number;
  readonly probability: number;
  /** Only without a model: the range of sizes that such parts have, which overlaps with others. */
  readonly rangeMm?: { readonly from: number; readonly to: number };
}

/** Marks that return at one distance. */
export interface RepeatSeries {
  /** Null when no two marks belong together. */
  readonly periodMm: number | null;
  readonly sigmaMm: number | null;
  /** Where the marks of this series lie on paper, in mm along the feed, ascending. */
  readonly marksMm: readonly number[];
  /** Turn of each of them, counted from the first. */
  readonly multiples: readonly number[];
  readonly decidable: boolean;
  readonly because: string;
  /** The most probable first. */
  readonly candidates: readonly RepeatCandidate[];
}

export interface RepeatReading extends RepeatSeries {
  /** Marks that belong to no series. */
  readonly straysMm: readonly number[];
  /** A second series that lies between the first. */
  readonly second: RepeatSeries | null;
}

/** How the print lies on the sheet, by ruler readings. */
export interface PageGeometry {
  /** Measured over printed length, across and along the feed. */
  readonly scaleX: number | null;
  readonly scaleY: number | null;
  /** Degrees that the print is turned; positive when the right end of a line lies lower. */
  readonly skewDegrees: number | null;
  /** Degrees by which its corners differ from right angles; positive when the diagonal from upper left is the longer one. */
  readonly shearDegrees: number | null;
  /** How far its origin is moved: right and down the page. */
  readonly offsetMm: { readonly x: number; readonly y: number } | null;
  /** Root of the mean square of what the fit leaves. */
  readonly residualMm: number | null;
  readonly says: readonly string[];
}

export interface PaperReading {
  readonly gsm: number;
  /** The same in pounds of each grade's basic size. */
  readonly pounds: Readonly<Record<string, number>>;
  readonly advice: readonly string[];
}

/** What one side of a page takes as dots, beside the printer's memory. */
export interface PageMemory {
  readonly widthMm: number;
  readonly lengthMm: number;
  readonly dpiX: number;
  readonly dpiY: number;
  readonly planes: number;
  /** For one dot of one plane. */
  readonly bits: number;
  /** Dots across and along. */
  readonly width: number;
  readonly height: number;
  /** Octets, uncompressed. */
  readonly bytes: number;
  /** Octets; null when not known. */
  readonly memoryBytes: number | null;
  /** `well`: both sides. `one-side`. `not-whole`. Null when the memory is not known. */
  readonly fits: 'well' | 'one-side' | 'not-whole' | null;
  readonly says: readonly string[];
  /** What to change, the smallest loss first. */
  readonly change: readonly string[];
}

export interface SymptomWord {
  readonly word: string;
  readonly also: readonly string[];
  readonly technologies: readonly Technology[];
  readonly says: string;
}

/** A check that may need care. */
export interface DefectCheck extends Check {
  readonly cautions: readonly string[];
}

export interface DefectDocument {
  readonly schema: typeof DEFECT_SCHEMA;
  readonly target: string | null;
  readonly symptoms: readonly string[];
  readonly technology: Technology;
  /** Where the technology is known from. */
  readonly technologyFrom: 'told' | 'printer' | 'assumed';
  /** The most probable first. */
  readonly ranked: readonly DefectCause[];
  readonly repeat: RepeatReading | null;
  readonly checks: readonly DefectCheck[];
  /** What the printer and the person told that shifted the ranking. */
  readonly signs: readonly string[];
  readonly geometry: PageGeometry | null;
  readonly paper: PaperReading | null;
  readonly memory: PageMemory | null;
  /** What else should be known: what was taken for granted, what could not be read. */
  readonly notes: readonly string[];
  /** Words for symptoms, when none was given. */
  readonly words: readonly SymptomWord[];
}
