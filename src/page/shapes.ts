import { LAYER_STATES, type LayerState } from '../model/layers.js';
import { type Markup, markup } from '../render/markup.js';
import { stripCells } from '../render/svg.js';

/** One cell of a strip for each state, drawn once in a page. */
export const CELL_SYMBOLS: Markup = markup`<svg class="symbols" aria-hidden="true" focusable="false">${LAYER_STATES.map(
  (state) => markup`<symbol class="marks" id="c-${state}" viewBox="0 0 10 20">${stripCells([state])}</symbol>`,
)}</svg>`;

/** The shape of a state. Its word stands beside it, so it is silent to a screen reader. */
export function shape(state: LayerState): Markup {
  return markup`<svg class="cell s-${state}" viewBox="0 0 10 20" aria-hidden="true" focusable="false"><use href="#c-${state}"/></svg>`;
}
