import type { PageNeedFact } from '../../facts/page-need.js';
import type { Finding } from '../../model/layers.js';
import { sizeWords } from './named.js';

/**
 * A page that takes more room than the printer has. Never more than a warning: printers draw in bands and compress, so
 * only the printer's own complaint makes a fault of it.
 */
export function pageRoom({ bytes, memoryBytes, stated, evidence }: PageNeedFact): Finding[] {
  if (bytes <= memoryBytes) return [];
  const least = stated ? '' : 'at least ';
  const expected = `${least}${sizeWords(bytes)} as dots, ${sizeWords(memoryBytes)} of memory`;
  return [{ cause: 'page-too-complex', severity: 'warning', certainty: 'possible', detail: { expected }, evidence }];
}
