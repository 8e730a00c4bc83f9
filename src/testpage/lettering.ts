/**
 * Plain letters of straight strokes, for pages that are drawn dot by dot here. A grid eight half units wide; the baseline at
 * 2, small letters up to 7, capitals up to 9. A glyph is polylines with blanks between, each point two digits: x, y.
 */
const GLYPHS: Readonly<Record<string, string>> = {
  '!': '0904 0202',
  '"': '0907 2927',
  '#': '2228 5258 0474 0676',
  $: '785929080726567573522203 4149',
  '%': '0819281708 5364736253 1269',
  '&': '721718293948470403224274',
  "'": '0907',
  '(': '29070321',
  ')': '09272301',
  '*': '3834 1557 1755',
  '+': '3337 0565',
  ',': '1201',
  '-': '0545',
  '.': '0202',
  '/': '0159',
  '0': '290704224264674929',
  '1': '072922',
  '2': '08294967660262',
  '3': '096936466563422203',
  '4': '42490464',
  '5': '690906466563422203',
  '6': '5929070422426365462605',
  '7': '096922',
  '8': '26070829496867462605032242636546',
  '9': '1242646749290806254566',
  ':': '0202 0606',
  ';': '1201 1616',
  '<': '670563',
  '=': '0464 0666',
  '>': '076503',
  '?': '08294968673534 3232',
  '@': '722204072959777454573726253454',
  A: '024982 1474',
  B: '02095978775606 5675735202',
  C: '7869290704226273',
  D: '02094977744202',
  E: '79090272 0656',
  F: '790902 0656',
  G: '78692907042252737545',
  H: '0209 7279 0676',
  I: '0209',
  J: '5954321203',
  K: '0209 7905 2672',
  L: '090262',
  M: '0209458982',
  N: '02097279',
  O: '290704225274775929',
  P: '02095978765505',
  Q: '290704225274775929 4471',
  R: '02095978765505 3572',
  S: '785929080726567573522203',
  T: '0989 4942',
  U: '090422527479',
  V: '094289',
  W: '0922476289',
  X: '0972 0279',
  Y: '094689 4642',
  Z: '09790272',
  '[': '29090121',
  '\\': '0951',
  ']': '09292101',
  '^': '073967',
  _: '0161',
  '`': '0917',
  a: '6762 6647270504224263',
  b: '0902 0627476564422203',
  c: '6647270504224263',
  d: '6962 6647270504224263',
  e: '05656647270504224263',
  f: '59392822 0747',
  g: '6761402001 6647270504224263',
  h: '0902 0627476662',
  i: '0207 0909',
  j: '27211000 2929',
  k: '0902 6704 2562',
  l: '090322',
  m: '0207 0627374642 4667778682',
  n: '0207 0627476662',
  o: '270504224264654727',
  p: '0700 0627476564422203',
  q: '6760 6647270504224263',
  r: '0207 062747',
  s: '66472706155463422203',
  t: '29233252 0757',
  u: '0703224263 6762',
  v: '073267',
  w: '0722456287',
  x: '0762 0267',
  y: '0732 672000',
  z: '07670262',
  '{': '49282605242241',
  '|': '0901',
  '}': '09282645242201',
  '~': '04264466',
};

/** Heights on the grid. */
const BASELINE = 2;
const CAPITALS = 7;
/** Capitals take this share of the type size, a stroke this share, as in common text faces. From memory. */
const CAPITAL_SHARE = 0.72;
const PEN_SHARE = 0.08;
const BETWEEN = 1.6;
const BLANK = 2.5;

/** A straight stroke with round ends, in mm from the upper left corner of the sheet. */
export interface Stroke {
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
  /** Thickness. */
  readonly pen: number;
}

/** The strokes of a line of text that begins at `x` with its baseline at `y`. Signs other than printable US-ASCII leave a blank. */
export function strokesOf(text: string, x: number, y: number, points: number): readonly Stroke[] {
  const size = (points * 25.4) / 72;
  const unit = (size * CAPITAL_SHARE) / CAPITALS;
  const pen = size * PEN_SHARE;
  const strokes: Stroke[] = [];
  let left = x + pen / 2;
  for (const sign of text) {
    const lines = polylines(sign);
    for (const line of lines) {
      const placed = line.map(([px, py]) => ({ x: left + (px / 2) * unit, y: y - (py - BASELINE) * unit }));
      for (let i = 1; i < placed.length; i += 1) {
        const [from, to] = [placed[i - 1], placed[i]];
        if (from && to) strokes.push({ x1: from.x, y1: from.y, x2: to.x, y2: to.y, pen });
      }
    }
    const widest = Math.max(0, ...lines.flat().map(([px]) => px / 2));
    left += unit * (lines.length === 0 ? BLANK : widest + BETWEEN);
  }
  return strokes;
}

function polylines(sign: string): readonly (readonly (readonly [number, number])[])[] {
  const glyph = Object.hasOwn(GLYPHS, sign) ? GLYPHS[sign] : undefined;
  if (glyph === undefined) return [];
  return glyph.split(' ').map((line) => (line.match(/../g) ?? []).map((point) => [Number(point[0]), Number(point[1])]));
}
