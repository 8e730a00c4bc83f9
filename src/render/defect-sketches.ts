import { type Markup, markup, trusted } from './markup.js';

// One small drawing for each symptom: people recognise rather than read. The feed runs from top to bottom. Drawings hold
// no colour: the style sheet gives it by class (`type`: sound print, `bad`: the fault, `pale`: print that is too light).

/** Lines of type from `top` to `bottom`, between two edges. */
function type(top: number, bottom: number, left = 20, right = 100, kind = 'type'): string {
  const rows: string[] = [];
  for (let y = top, row = 0; y <= bottom; y += 8, row++)
    rows.push(`M${left} ${y}H${row % 4 === 3 ? right - 22 : right}`);
  return `<path class="${kind}" d="${rows.join('')}"/>`;
}

const TYPE = type(22, 134);
const bad = (d: string): string => `<path class="bad" d="${d}"/>`;
const solid = (d: string): string => `<path class="bad-area" d="${d}"/>`;
const dot = (x: number, y: number, r = 2.4): string => `<circle class="bad-area" cx="${x}" cy="${y}" r="${r}"/>`;
const block = (kind: string, x: number, y: number, width: number, height: number): string =>
  `<rect class="${kind}" x="${x}" y="${y}" width="${width}" height="${height}"/>`;

/** The path of a sheet through a printer, seen from the side, with a cross where it stops. */
function sideView(x: number, y: number, more = ''): string {
  return `<path class="machine" d="M14 20H106V128H14Z"/><path class="path" d="M28 116H62C80 116 80 92 80 76V58C80 44 72 36 58 36H20"/><path class="machine" d="M22 108H70V124H22Z"/><circle class="machine" cx="66" cy="104" r="5"/><circle class="machine" cx="88" cy="78" r="6"/><circle class="machine" cx="72" cy="78" r="6"/><circle class="machine" cx="74" cy="34" r="6"/><circle class="machine" cx="66" cy="48" r="6"/>${more}${
    more === '' ? bad(`M${x - 6} ${y - 6}L${x + 6} ${y + 6}M${x + 6} ${y - 6}L${x - 6} ${y + 6}`) : ''
  }`;
}

/** What is drawn in the page of 100 by 141 at 10, 6. */
const ON_PAGE: Readonly<Record<string, string>> = {
  blank: '',
  'black-page': solid('M12 8H108V145H12Z'),
  faded: type(22, 134, 20, 100, 'pale'),
  'faded-one-side': type(22, 134, 20, 58) + type(22, 134, 62, 100, 'pale'),
  'faded-one-colour':
    block('ink-1', 22, 26, 34, 34) +
    block('ink-2', 64, 26, 34, 34) +
    block('ink-3', 22, 78, 34, 34) +
    block('missing', 64, 78, 34, 34),
  streak: TYPE + bad('M72 8V145'),
  'white-streak': `${block('solid', 18, 20, 84, 112)}<path class="gap" d="M66 8V145"/>`,
  'line-across': TYPE + bad('M12 46H108M12 78H108M12 110H108'),
  'repeating-marks': TYPE + dot(70, 28, 3.4) + dot(70, 64, 3.4) + dot(70, 100, 3.4) + dot(70, 136, 3.4),
  ghost:
    '<path class="letter" d="M36 52L50 20L64 52M41 41H59"/><path class="echo" d="M36 124L50 92L64 124M41 113H59"/>' +
    bad('M84 36V106M80 100L84 107L88 100'),
  'background-haze': block('haze', 12, 8, 96, 137) + TYPE,
  smudge: TYPE + solid('M46 70C60 58 92 60 100 66C92 74 88 88 62 90C50 90 42 80 46 70Z'),
  spots:
    TYPE +
    [
      [28, 40],
      [84, 30],
      [56, 62],
      [94, 88],
      [34, 104],
      [70, 118],
      [48, 132],
      [88, 138],
    ]
      .map(([x, y]) => dot(x ?? 0, y ?? 0))
      .join(''),
  voids:
    block('solid', 18, 20, 84, 112) +
    [
      [34, 36],
      [72, 48],
      [50, 74],
      [86, 84],
      [32, 108],
      [66, 118],
    ]
      .map(([x, y]) => `<circle class="hole" cx="${x}" cy="${y}" r="5"/>`)
      .join(''),
  'wrong-colour':
    '<circle class="ink-1" cx="60" cy="50" r="26"/><path class="type" d="M60 84V98M54 93L60 100L66 93"/><circle class="ink-2" cx="60" cy="118" r="16"/>',
  'colour-shifted':
    '<path class="letter" d="M34 104L60 34L86 104M44 80H76"/><path class="shift" d="M39 107L65 37L91 107M49 83H81"/>',
  'doubled-lines':
    '<path class="letter" d="M34 24V54M60 24V54M86 24V54M34 84V114M60 84V114M86 84V114"/>' +
    bad('M40 54V84M66 54V84M92 54V84M40 114V136M66 114V136M92 114V136'),
  garbled:
    '<path class="bad" d="M20 26L28 34M28 26L20 34M36 30H46M41 25V35M54 34L60 25L66 34ZM76 26H86V34H76ZM20 52L24 46L28 56L32 46M44 46V56H54M62 48H74M62 54H74M84 46L92 56M20 78H32M44 72A6 6 0 1 1 44 84M62 72L70 84M70 72L62 84M82 78H96M20 104L28 96L36 104M48 96V108M58 96H70V108M82 100A5 5 0 1 0 92 100"/>',
  staircase: `${bad('M18 26H40M40 44H62M62 62H84M84 80H106')}<path class="faint" d="M40 26V44M62 44V62M84 62V80"/>`,
  'partial-page': `${type(22, 70)}<path class="cut" d="M10 80L22 76L34 84L46 76L58 84L70 76L82 84L94 76L110 82"/>`,
  skew: `<g transform="rotate(7 60 76)">${TYPE}</g>${bad('M14 18H106')}`,
  crease: TYPE + bad('M52 8L66 52L56 92L72 145M74 8L66 52'),
};

const FROM_THE_SIDE: Readonly<Record<string, string>> = {
  jam: sideView(0, 0, bad('M74 60L86 66L74 72L86 84M60 22V30M60 10A6 6 0 1 1 62 20')),
  'jam-at-tray': sideView(60, 114),
  'jam-inside': sideView(80, 96),
  'jam-at-fuser': sideView(0, 0, bad('M80 58L74 54L82 50L72 48L78 43L68 42')),
  'jam-at-exit': sideView(26, 36),
  'jam-in-duplex': sideView(
    0,
    0,
    `<path class="path" d="M58 36C40 36 36 50 36 62V84C36 98 50 104 62 100"/>${bad('M30 68L42 80M42 68L30 80')}`,
  ),
  'jam-without-paper': sideView(0, 0, `<circle class="bad" cx="80" cy="92" r="9"/>${bad('M74 98L86 86')}`),
  'multi-feed': sideView(0, 0, bad('M40 112H64M40 107H68M40 102H72')),
  'no-feed': sideView(0, 0, bad('M34 102H50M46 98L51 102L46 106M58 96L70 110M70 96L58 110')),
  curl: `<path class="type" d="M14 116H106"/>${bad('M20 108C44 108 74 108 84 96C94 84 90 66 76 66C64 66 62 80 72 84')}`,
};

/** Symptoms that have a drawing. */
export const SKETCHED: readonly string[] = [...Object.keys(ON_PAGE), ...Object.keys(FROM_THE_SIDE)];

/** The drawing of a symptom; its words stand beside it, so it is silent to a screen reader. Null for a word without one. */
export function defectSketch(word: string): Markup | null {
  const side = Object.hasOwn(FROM_THE_SIDE, word) ? FROM_THE_SIDE[word] : undefined;
  const page = Object.hasOwn(ON_PAGE, word) ? ON_PAGE[word] : undefined;
  if (side === undefined && page === undefined) return null;
  const inside = side ?? `<rect class="edge" x="10" y="6" width="100" height="141" rx="1"/>${page}`;
  return markup`<svg class="sketch" viewBox="0 0 120 152" aria-hidden="true" focusable="false">${trusted(inside)}</svg>`;
}
