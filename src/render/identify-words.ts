import type { IppExchangeValue } from '../model/evidence.js';
import { forTerminal } from './escape.js';

/** What came of asking a printer to identify itself. */
export type Identified =
  | { readonly asked: false; readonly because: 'no-ipp' | 'not-offered' }
  | { readonly asked: true; readonly answer: IppExchangeValue; readonly actions: readonly string[] };

/** One sentence, ended by a full stop. */
export function identifiedWords(identified: Identified): string {
  if (!identified.asked) {
    return identified.because === 'no-ipp'
      ? 'Nothing was asked of the printer: it does not answer over IPP, the only way to make it identify itself.'
      : 'Nothing was asked of the printer: it does not offer to identify itself.';
  }
  const { answer, actions } = identified;
  const way = actions.length === 0 ? 'in its own way' : actions.map((word) => forTerminal(word, 40)).join(', ');
  const head = `The printer was asked to identify itself (${way})`;
  if (answer.status?.startsWith('successful-')) return `${head} and says that it does so now.`;
  const gave = answer.status ?? (answer.httpStatus === null ? answer.error : `HTTP status ${answer.httpStatus}`);
  return `${head} and did not: ${forTerminal(gave ?? 'no answer', 80)}.`;
}
