import type { LayerState } from '../model/layers.js';
import type { LayerEntry } from '../model/why.js';
import { runsOf, STATE_WORDS } from './layer-words.js';
import { type Markup, markup, trusted } from './markup.js';

// Drawings hold no colour: the style sheet gives it by class, so that light, dark and paper each have their own.

/**
 * The marks of the thirteen layers, defined once in a page and used by `stateMark`. Each is one cell of a line that runs
 * from the wall socket to the page: whole with a knot, whole with a peak, torn with a cross, a hollow knot with a question in it,
 * and dots where nothing is left of it.
 */
export const MARK_SYMBOLS: Markup = trusted(`<svg class="symbols" aria-hidden="true" focusable="false">
<symbol id="m-clear" viewBox="0 0 24 32"><path d="M12 0V32"/><circle class="body" cx="12" cy="16" r="5"/></symbol>
<symbol id="m-warning" viewBox="0 0 24 32"><path d="M12 0V32"/><path class="body" d="M12 7L21 24H3Z"/><path class="ink" d="M12 13V18M12 20.6V21.6"/></symbol>
<symbol id="m-fault" viewBox="0 0 24 32"><path d="M12 0V4M12 28V32"/><rect class="body" x="2" y="6" width="20" height="20" rx="3"/><path class="ink" d="M7.5 11.5L16.5 20.5M16.5 11.5L7.5 20.5"/></symbol>
<symbol id="m-unknown" viewBox="0 0 24 32"><path d="M12 0V7M12 25V32" stroke-dasharray="3 2"/><circle class="hollow" cx="12" cy="16" r="8.5"/><path d="M9.4 13.8a2.7 2.7 0 1 1 3.6 2.6c-.8.3-1 .8-1 1.6M12 20.2v1"/></symbol>
<symbol id="m-not-reached" viewBox="0 0 24 32"><path class="faint" d="M12 1V32" stroke-dasharray="1 5"/><circle class="hollow" cx="12" cy="16" r="3.5"/></symbol>
</svg>`);

/** The mark of one state. The state's word stands beside it, so it is silent to a screen reader. */
export function stateMark(state: LayerState): Markup {
  return markup`<svg class="mark s-${state}" aria-hidden="true" focusable="false"><use href="#m-${state}"/></svg>`;
}

/** Shape of each state in a strip: told apart by form, not by colour alone. Drawn in a cell 10 wide and 20 high. */
const CELLS: Readonly<Record<LayerState, string>> = {
  clear: '<rect x="1" y="3" width="8" height="14" rx="1"/>',
  warning: '<path d="M5 2L10 17H0Z"/>',
  fault: '<path class="line" d="M.5 3L9.5 17M9.5 3L.5 17"/>',
  unknown: '<rect class="open" x="1.75" y="3.75" width="6.5" height="12.5" rx="1"/>',
  'not-reached': '<circle cx="5" cy="10" r="1.5"/>',
};

/** The cells of a strip, one for each state, in their order: 11 wide each, 20 high. */
export function stripCells(states: readonly LayerState[]): readonly Markup[] {
  return states.map(
    (state, index) => markup`<g class="s-${state}" transform="translate(${index * 11} 0)">${trusted(CELLS[state])}</g>`,
  );
}

/** All thirteen layers in one line, with the same said in words for who cannot see it. */
export function ladderStrip(layers: readonly LayerEntry[]): Markup {
  const width = layers.length * 11 - 1;
  return markup`<svg class="strip" viewBox="0 0 ${width} 20" role="img" aria-label="${layersInWords(layers)}">${stripCells(layers.map(({ state }) => state))}</svg>`;
}

/** One cell of a strip by itself, for the key that says what the shapes mean. */
export function stripCell(state: LayerState): Markup {
  return markup`<svg class="cell s-${state}" viewBox="0 0 10 20" aria-hidden="true" focusable="false">${trusted(CELLS[state])}</svg>`;
}

/** "clear: power to device. fault: media. …" */
export function layersInWords(layers: readonly LayerEntry[]): string {
  const words = runsOf(layers).map((run) => {
    const first = run.layers[0]?.layer ?? '';
    const last = run.layers.at(-1)?.layer ?? '';
    return `${STATE_WORDS[run.state].toLowerCase()}: ${first === last ? first : `${first} to ${last}`}`;
  });
  return words.join('; ');
}

/** A level from 0 to 100 as a bar with quarter marks. The number stands beside it in words. */
export function levelBar(percent: number, state: string): Markup {
  const width = Math.min(100, Math.max(0, percent));
  return markup`<svg class="bar l-${state}" viewBox="0 0 100 10" preserveAspectRatio="none" aria-hidden="true" focusable="false"><rect class="track" width="100" height="10"/><rect class="fill" width="${width}" height="10"/><path class="quarter" d="M25 0V10M50 0V10M75 0V10"/></svg>`;
}
