import { type Mark, SHEETS, type SheetName } from './marks.js';

/** The marks as PostScript, level 2 for its colours (PostScript Language Reference 4.8), in millimetres. */
export function postscriptOf(sheet: SheetName, marks: readonly Mark[]): string {
  const { width, height } = SHEETS[sheet];
  const points = (mm: number): number => Math.round((mm * 72) / 25.4);
  return [
    '%!PS-Adobe-3.0',
    `%%BoundingBox: 0 0 ${points(width)} ${points(height)}`,
    '%%Pages: 1',
    '%%EndComments',
    `<< /PageSize [${((width * 72) / 25.4).toFixed(2)} ${((height * 72) / 25.4).toFixed(2)}] >> setpagedevice`,
    '%%Page: 1 1',
    '72 25.4 div dup scale',
    '/B { setcmykcolor rectfill } bind def',
    '/T { 0 0 0 1 setcmykcolor /Helvetica findfont exch scalefont setfont moveto show } bind def',
    ...marks.map((mark) => line(mark, height)),
    'showpage',
    '%%EOF',
    '',
  ].join('\n');
}

function line(mark: Mark, height: number): string {
  const n = (value: number): string => value.toFixed(3);
  if (mark.kind === 'text') {
    const words = mark.text.replace(/[\\()]/g, '\\$&');
    return `(${words}) ${n(mark.x)} ${n(height - mark.y)} ${n((mark.points * 25.4) / 72)} T`;
  }
  const { x, y, w, h, ink } = mark;
  return `${n(x)} ${n(height - y - h)} ${n(w)} ${n(h)} ${ink.map(n).join(' ')} B`;
}
