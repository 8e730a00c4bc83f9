/** Forms of the trade's tables (`shared/trade`, generated into `trade.generated.ts`). */

export type Technology = 'laser' | 'inkjet' | 'thermal' | 'impact';
export type Place = 'engine' | 'tray' | 'path' | 'paper' | 'setting' | 'sender';

export interface TradeSymptom {
  readonly word: string;
  readonly also: readonly string[];
  readonly often: number;
  /** Technologies it is met with; absent: those of the causes that show it. */
  readonly for?: readonly Technology[];
  readonly says: string;
  /** For a word that leaves open which of several is meant. */
  readonly anyOf?: readonly string[];
  readonly source: string;
}

export interface TradeStep {
  readonly step: string;
  readonly minutes: number;
  /** Names of cautions. */
  readonly cautions: readonly string[];
}

export interface TradeCause {
  readonly id: string;
  readonly part: string;
  readonly place: Place;
  /** Kind of turning part that leaves a mark at each turn. */
  readonly turns?: string;
  /** Kind of turning part one turn of which lies between print and ghost. */
  readonly echoes?: string;
  readonly for: readonly Technology[];
  readonly prior: number;
  readonly says: string;
  readonly because: string;
  /** Symptom → chance that pages with this cause show it. */
  readonly shows: Readonly<Record<string, number>>;
  readonly next: readonly TradeStep[];
  readonly source: string;
}

export interface TradeCheck {
  readonly id: string;
  readonly ask: string;
  readonly for: readonly Technology[];
  /** Symptoms that it tells something about. */
  readonly with: readonly string[];
  readonly minutes: number;
  readonly sheets: number;
  readonly outcomes: readonly string[];
  /** Chances of the outcomes: of the cause, else of its place, else `others`. */
  readonly others: readonly number[];
  readonly places?: Readonly<Partial<Record<Place, readonly number[]>>>;
  readonly causes: Readonly<Record<string, readonly number[]>>;
  readonly cautions: readonly string[];
  readonly source: string;
}

export interface TradeSign {
  readonly when: string;
  readonly says: string;
  readonly factors: Readonly<Record<string, number>>;
}

export interface TradePartRange {
  readonly kind: string;
  readonly lowMm: number;
  readonly highMm: number;
  readonly weight: number;
  readonly source: string;
}

export interface TradePaper {
  readonly grades: readonly {
    readonly grade: string;
    readonly also: readonly string[];
    readonly inches: readonly [number, number];
  }[];
  readonly advice: readonly { readonly upToGsm: number; readonly sign: string; readonly says: string }[];
  readonly grain: { readonly says: string; readonly source: string };
}
