import { styleText } from 'node:util';
import type { TestPageDocument } from '../model/testpage.js';
import { forTerminal } from './escape.js';
import { wrap } from './wrap.js';

const NAMES: Readonly<Record<string, string>> = {
  'application/pdf': 'PDF',
  'application/postscript': 'PostScript',
  'image/pwg-raster': 'PWG Raster',
  'application/vnd.hp-pcl': 'PCL 5',
  'text/plain': 'plain text',
};

const ASSUMED = 'It does not say what it can read, so this is a guess; --format chooses another.';

function formatWords({ format, dots }: TestPageDocument): string {
  const name = NAMES[format.toLowerCase()] ?? forTerminal(format, 60);
  return dots === null ? name : `${name} ${dots.type} ${dots.dpi.x}x${dots.dpi.y} dpi`;
}

function sheetWords(media: string): string {
  return media.startsWith('iso_a4') ? 'A4' : 'Letter';
}

/** What was made and sent, or would be, and what to do next. Ends in a line break. */
export function renderTestPage(
  document: TestPageDocument,
  options: { readonly columns: number; readonly color: boolean },
): string {
  const columns = Math.min(100, Math.max(40, Math.floor(options.columns) || 80));
  const { target, via, to, sheets, written, sent, proves, answer } = document;
  const page = `this test page (${formatWords(document)}, ${sheetWords(document.media)}, ${sheets} sheet)`;
  const head =
    sent === null
      ? `Nothing was sent. With --print ${page} goes by ${via} to ${forTerminal(to, 200)}.`
      : `${page.replace('this', 'The')} was sent by ${via} to ${forTerminal(to, 200)}. ${forTerminal(sent.because, 400)}`;
  const next = [
    ...(document.formatFrom === 'assumed' ? [ASSUMED] : []),
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
