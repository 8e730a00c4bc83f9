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

function headOf({ sent, cameOut }: TestPageDocument, page: string, by: string): string {
  const seen = cameOut === null ? '' : cameOut ? ' It came out.' : ' It did not come out.';
  if (sent !== null) return `${page.replace('this', 'The')} was sent ${by}. ${forTerminal(sent.because, 400)}${seen}`;
  if (cameOut !== null) return `Noted: a test page went ${by} before.${seen}`;
  return `Nothing was sent. With --print ${page} goes ${by}.`;
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
  const { target, via, to, sheets, written, sent, proves, answer, cameOut } = document;
  const page = `this test page (${formatWords(document)}, ${sheetWords(document.media)}, ${sheets} sheet)`;
  const by = `by ${via} to ${forTerminal(to, 200)}`;
  const head = headOf(document, page, by);
  const why = `outfeed why ${forTerminal(target, 100)}`;
  const layers = `${proves[0]} to ${proves.at(-1)}`;
  const saved = document.saved === null ? null : forTerminal(document.saved, 200);
  const from = saved === null ? why : `outfeed why --from ${saved}`;
  const no = answer.replace('=yes', '=no');
  const known = saved !== null || document.remembered;
  const next = [
    ...(document.formatFrom === 'assumed' ? [ASSUMED] : []),
    ...(written === null ? [] : [`Written to ${forTerminal(written, 200)}.`]),
    ...(saved === null ? [] : [`The evidence is kept in ${saved}.`]),
    ...(document.remembered ? ["The agent's memory has it."] : []),
    ...(sent?.taken === true && cameOut === null
      ? [`If the page lies in the tray, ${layers} are proved: ${from} ${answer}`, `If it does not: ${from} ${no}`]
      : []),
    ...(cameOut === true ? [`So ${layers} work: ${known ? from : `${from} ${answer}`}`] : []),
    ...(cameOut === false ? [`What may stop it: ${known ? from : `${from} ${no}`}`] : []),
    ...(sent?.taken === false ? [`What stops it: ${from}`] : []),
  ];
  const lines = wrap(head, { columns, first: '', rest: '' });
  const shown = options.color ? lines.map((line) => styleText('bold', line, { validateStream: false })) : lines;
  return `${[...shown, ...next.flatMap((line) => wrap(line, { columns, first: '  ', rest: '    ' }))].join('\n')}\n`;
}
