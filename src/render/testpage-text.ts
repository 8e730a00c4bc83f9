import { styleText } from 'node:util';
import type { TestPageDocument } from '../model/testpage.js';
import { forTerminal } from './escape.js';
import { wrap } from './wrap.js';

const NAMES: Readonly<Record<string, string>> = {
  'application/pdf': 'PDF',
  'application/postscript': 'PostScript',
  'text/plain': 'plain text',
};

/** What was made and sent, or would be, and what to do next. Ends in a line break. */
export function renderTestPage(
  document: TestPageDocument,
  options: { readonly columns: number; readonly color: boolean },
): string {
  const columns = Math.min(100, Math.max(40, Math.floor(options.columns) || 80));
  const { target, via, to, format, sheets, written, sent, proves, answer } = document;
  const head =
    sent === null
      ? `Nothing was sent. With --print this test page (${NAMES[format] ?? format}, ${sheets} sheet) goes by ${via} to ${forTerminal(to, 200)}.`
      : `The test page (${NAMES[format] ?? format}, ${sheets} sheet) was sent by ${via} to ${forTerminal(to, 200)}. ${forTerminal(sent.because, 400)}`;
  const next = [
    ...(written === null ? [] : [`Written to ${forTerminal(written, 200)}.`]),
    ...(sent?.taken === true
      ? [
          `If the page lies in the tray, ${proves[0]} to ${proves.at(-1)} are proved: outfeed why ${forTerminal(target, 100)} ${answer}`,
          `If it does not: outfeed why ${forTerminal(target, 100)} ${answer.replace('=yes', '=no')}`,
        ]
      : []),
    ...(sent?.taken === false ? [`What stops it: outfeed why ${forTerminal(target, 100)}`] : []),
  ];
  const lines = wrap(head, { columns, first: '', rest: '' });
  const shown = options.color ? lines.map((line) => styleText('bold', line, { validateStream: false })) : lines;
  return `${[...shown, ...next.flatMap((line) => wrap(line, { columns, first: '  ', rest: '    ' }))].join('\n')}\n`;
}
