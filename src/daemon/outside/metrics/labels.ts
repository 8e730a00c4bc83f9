import { madeVisible } from '../../../model/visible.js';

const LONGEST = 100;

/**
 * The value of a label, of whatever a printer says of itself: nothing in it acts on a terminal, and it is never long. (Quotation marks,
 * backslashes and line breaks are escaped by the library.) Two texts that differ only behind the cut become one.
 */
export function labelOf(text: string | null | undefined): string {
  const shown = madeVisible((text ?? '').slice(0, LONGEST * 2).trim());
  return [...shown].slice(0, LONGEST).join('');
}
