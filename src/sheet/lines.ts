import { widthOf } from './pages.js';
import type { Run, Type, Weight } from './type.js';

/** A stretch of text in one weight. */
export interface Span {
  readonly text: string;
  readonly weight?: Weight;
}

/** Breaks text into lines, for a size of 1. */
export class Lines {
  readonly #lines: Run[][] = [[]];
  readonly #type: Type;
  readonly #width: number;
  readonly #first: number;
  #used = 0;

  /** The first line may be shorter than the others, where something stands at its right. */
  constructor(type: Type, width: number, first = width) {
    this.#type = type;
    this.#width = width;
    this.#first = first;
  }

  add({ text, weight = 'regular' }: Span): void {
    for (const word of text.split(/(?<= )/)) {
      this.#breakBefore(this.#type.width(word.trimEnd(), weight));
      if (this.#type.width(word.trimEnd(), weight) <= this.#room()) this.#put(this.#type.runs(word, weight));
      else this.#cut(word, weight);
    }
  }

  /** A word that is wider than a line goes on wherever the line ends. */
  #cut(word: string, weight: Weight): void {
    for (const character of word) {
      const runs = this.#type.runs(character, weight);
      this.#breakBefore(widthOf(runs));
      this.#put(runs);
    }
  }

  #room(): number {
    return this.#lines.length === 1 ? this.#first : this.#width;
  }

  #breakBefore(width: number): void {
    if (this.#used === 0 || this.#used + width <= this.#room()) return;
    this.#lines.push([]);
    this.#used = 0;
  }

  #put(runs: readonly Run[]): void {
    const line = this.#lines.at(-1);
    for (const run of runs) {
      const last = line?.at(-1);
      const joined =
        last?.face === run.face ? { ...last, text: last.text + run.text, width: last.width + run.width } : run;
      if (joined === run) line?.push(run);
      else line?.splice(-1, 1, joined);
      this.#used += run.width;
    }
  }

  get all(): readonly (readonly Run[])[] {
    return this.#lines;
  }
}
