import { type Picture, pictureOf } from './picture.js';

/**
 * Reads PCL 5 as the PCL 5 Printer Language Technical Reference Manual has it, from memory and written apart from the page's writer. Its limits: it
 * knows the commands of this page and throws at any other; it has no fonts, so that text is told by its place, size and
 * words; a shade is told by its per cent.
 */
export interface PclPage {
  /** Ejected by a form feed, and ended by a reset. */
  readonly ended: boolean;
  readonly sheet: 'a4' | 'letter';
  readonly fills: readonly PclFill[];
  readonly texts: readonly PclText[];
  readonly picture: Picture;
}
export interface PclFill {
  readonly x: number;
  readonly y: number;
  readonly w: number;
  readonly h: number;
  readonly percent: number;
  /** Entry of the palette. */
  readonly pen: number;
}
export interface PclText {
  readonly x: number;
  readonly y: number;
  readonly points: number;
  readonly text: string;
  readonly pen: number;
}

const DPI = 600;
const MM_PER_DECIPOINT = 25.4 / 720;
/** ESC&l#A: millimetres of the sheet, and where its logical page begins, upright. */
const SHEETS = {
  26: { sheet: 'a4', width: 210, height: 297, left: (71 / 300) * 25.4 },
  2: { sheet: 'letter', width: 215.9, height: 279.4, left: (75 / 300) * 25.4 },
} as const;

class Reader {
  readonly fills: PclFill[] = [];
  readonly texts: PclText[] = [];
  code: 26 | 2 = 2;
  resets = 0;
  fed = false;
  topMm = 12.7;
  private x = 0;
  private y = 0;
  private width = 0;
  private height = 0;
  private percent = 0;
  private points = 12;
  private pen = 1;

  /** `ESC` + one or two signs + number + sign; small letters at the end go on with the same group. */
  read(page: string): void {
    let at = 0;
    while (at < page.length) {
      if (page[at] === '\x1b') at = this.escape(page, at + 1);
      else if (page[at] === '\f') {
        this.fed = true;
        at += 1;
      } else {
        const end = /[\x1b\f]/.exec(page.slice(at))?.index ?? page.length - at;
        const { x, y, points, pen } = this;
        this.texts.push({ x, y, points, text: page.slice(at, at + end), pen });
        at += end;
      }
    }
  }

  private escape(page: string, at: number): number {
    if (page[at] === 'E') {
      this.resets += 1;
      return at + 1;
    }
    const group = /^[&*(][a-z]|^\(/.exec(page.slice(at))?.[0];
    if (group === undefined) throw new Error(`unknown escape at ${at}`);
    let next = at + group.length;
    for (;;) {
      const match = /^(-?\d*\.?\d*)([A-Za-z])/.exec(page.slice(next, next + 24));
      if (match === null) throw new Error(`broken command after ${group}`);
      this.command(group, match[2]?.toUpperCase() ?? '', Number(match[1]));
      next += match[0].length;
      if (/[A-Z]/.test(match[2] ?? '')) return next;
    }
  }

  private command(group: string, letter: string, value: number): void {
    const name = `${group}${letter}`;
    const known: Record<string, () => void> = {
      '&aH': () => (this.x = SHEETS[this.code].left + value * MM_PER_DECIPOINT),
      '&aV': () => (this.y = this.topMm + value * MM_PER_DECIPOINT),
      '&lX': () => expectValue(name, value, 1),
      '&lS': () => expectValue(name, value, 0),
      '&lO': () => expectValue(name, value, 0),
      '&lL': () => expectValue(name, value, 0),
      '&lA': () => {
        if (value !== 26 && value !== 2) throw new Error(`sheet ${value}`);
        this.code = value;
        this.topMm = 12.7;
      },
      '&lE': () => (this.topMm = value * (25.4 / 6)),
      '*cH': () => (this.width = value),
      '*cV': () => (this.height = value),
      '*cG': () => (this.percent = value),
      '*cP': () => this.fill(value),
      '*rU': () => expectValue(name, value, -3),
      '*vS': () => (this.pen = value),
      '(N': () => expectValue(name, value, 0),
      '(sP': () => expectValue(name, value, 1),
      '(sV': () => (this.points = value),
      '(sS': () => expectValue(name, value, 0),
      '(sB': () => expectValue(name, value, 0),
      '(sT': () => expectValue(name, value, 4148),
    };
    const act = known[name];
    if (act === undefined) throw new Error(`unknown command ${name}`);
    act();
  }

  /** 0: solid. 2: a shade. Any fraction of a dot makes a whole one. The cursor stays. */
  private fill(pattern: number): void {
    if (pattern !== 0 && pattern !== 2) throw new Error(`pattern ${pattern}`);
    const dots = (decipoints: number): number => Math.ceil((decipoints * DPI) / 720 - 1e-9) * (25.4 / DPI);
    const [w, h] = [dots(this.width), dots(this.height)];
    this.fills.push({ x: this.x, y: this.y, w, h, percent: pattern === 0 ? 100 : this.percent, pen: this.pen });
  }
}

function expectValue(name: string, value: number, wanted: number): void {
  if (value !== wanted) throw new Error(`${name} is ${value}, not ${wanted}`);
}

export function readPcl(octets: Buffer): PclPage {
  const reader = new Reader();
  reader.read(octets.toString('latin1'));
  const { sheet, width, height } = SHEETS[reader.code];
  const { fills, texts, fed, resets } = reader;
  return { sheet, fills, texts, ended: fed && resets === 2, picture: painted(fills, width, height) };
}

/** Solid rules drawn dot by dot; shades as grey. */
function painted(fills: readonly PclFill[], width: number, height: number): Picture {
  const [w, h] = [Math.round((width * DPI) / 25.4), Math.round((height * DPI) / 25.4)];
  const head = Buffer.from(`P5\n${w} ${h}\n255\n`);
  const dots = Buffer.alloc(w * h, 255);
  for (const { percent, ...mm } of fills) {
    const [left, top, wide, high] = [mm.x, mm.y, mm.w, mm.h].map((one) => Math.round((one * DPI) / 25.4)) as [
      number,
      number,
      number,
      number,
    ];
    for (let y = top; y < Math.min(h, top + high); y += 1)
      dots.fill(Math.round(255 * (1 - percent / 100)), y * w + left, y * w + Math.min(w, left + wide));
  }
  return pictureOf(Buffer.concat([head, dots]), { x: DPI, y: DPI });
}
