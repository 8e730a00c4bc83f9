import { LAYERS, type LayerState } from '../model/layers.js';
import { type Markup, markup } from '../render/markup.js';
import { stripCells } from '../render/svg.js';
import type { PrinterView } from './view.js';
import type { Words } from './words.js';

const WIDTH = LAYERS.length * 11 - 1;

/**
 * The thirteen marks of many printers: each pattern is drawn once in the page and used by all that share it, so that a thousand rows
 * stay light.
 */
export class Strips {
  private readonly patterns = new Map<string, readonly LayerState[]>();

  constructor(private readonly words: Words) {}

  /** The marks of one printer; what they say stands in words beside them for who cannot see them. */
  of({ why }: Pick<PrinterView, 'why'>): Markup {
    const states = LAYERS.map((layer) => why?.layers.find((entry) => entry.layer === layer)?.state ?? 'unknown');
    const id = `w-${states.map((state) => state[0]).join('')}`;
    this.patterns.set(id, states);
    return markup`<svg class="strip" viewBox="0 0 ${WIDTH} 20" role="img" aria-label="${statesInWords(states, this.words)}"><use href="#${id}"/></svg>`;
  }

  /** The drawings that the rows use; to be asked for after the last row. */
  symbols(): Markup {
    const all = [...this.patterns].map(
      ([id, states]) =>
        markup`<symbol class="marks" id="${id}" viewBox="0 0 ${WIDTH} 20">${stripCells(states)}</symbol>`,
    );
    return markup`<svg class="symbols" aria-hidden="true" focusable="false">${all}</svg>`;
  }
}

/** "works: Power to Device; fault: Paper; …" */
export function statesInWords(states: readonly LayerState[], { states: words, layers }: Words): string {
  const runs: { state: LayerState; from: number; to: number }[] = [];
  states.forEach((state, at) => {
    const last = runs.at(-1);
    if (last?.state === state) last.to = at;
    else runs.push({ state, from: at, to: at });
  });
  const name = (at: number): string => layers[LAYERS[at] ?? ''] ?? '';
  return runs
    .map(({ state, from, to }) => `${words[state]}: ${from === to ? name(from) : `${name(from)} – ${name(to)}`}`)
    .join('; ');
}
