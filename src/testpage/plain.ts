import type { PageFacts } from './marks.js';

const COLUMNS = 72;
const LINES = 50;

/** A page of text for whatever prints nothing else: every printable sign, a ruler of columns, full lines. Ends in a form feed. */
export function plainOf({ lines }: PageFacts): string {
  const signs = Array.from({ length: 95 }, (_, i) => String.fromCharCode(32 + i)).join('');
  const tens = Array.from({ length: COLUMNS }, (_, i) => ((i + 1) % 10 === 0 ? String(((i + 1) / 10) % 10) : '.')).join(
    '',
  );
  const head = [
    'Test page',
    ...lines.map((line) => line.replace(/[^\x20-\x7e]/g, '?').slice(0, COLUMNS)),
    '',
    tens,
    '',
  ];
  const rows = Array.from({ length: LINES - head.length }, (_, i) => {
    const from = i % signs.length;
    return (signs + signs).slice(from, from + COLUMNS);
  });
  return `${[...head, ...rows].join('\r\n')}\r\n\f`;
}
