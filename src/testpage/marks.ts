/** Sheets by name, millimetres (ISO 216; Letter by ANSI/ASME Y14.1, as PWG 5101.1 has it). */
export const SHEETS = {
  a4: { keyword: 'iso_a4_210x297mm', width: 210, height: 297 },
  letter: { keyword: 'na_letter_8.5x11in', width: 215.9, height: 279.4 },
} as const;
export type SheetName = keyof typeof SHEETS;

/** Shares of cyan, magenta, yellow, black, each from 0 to 1. */
export type Ink = readonly [c: number, m: number, y: number, k: number];

/** One mark. Millimetres from the upper left corner of the sheet. */
export type Mark =
  | {
      readonly kind: 'box';
      readonly x: number;
      readonly y: number;
      readonly w: number;
      readonly h: number;
      readonly ink: Ink;
    }
  | { readonly kind: 'text'; readonly x: number; readonly y: number; readonly points: number; readonly text: string };

export interface PageFacts {
  /** Where it is sent, and how. */
  readonly lines: readonly string[];
}

export const BLACK: Ink = [0, 0, 0, 1];
/** Printers leave about this much of each edge white (common practice, no published source). */
const EDGE = 8;
const HAIR = 0.15;
/** Half a cross: it leaves the rulers' numbers alone. */
const ARM = 3.5;
/** Where the dense band ends and the white field begins that shows what a drum or fuser repeats. */
const BAND = { y: 30, h: 12 } as const;
const INKS: readonly (readonly [string, Ink])[] = [
  ['black', [0, 0, 0, 1]],
  ['cyan', [1, 0, 0, 0]],
  ['magenta', [0, 1, 0, 0]],
  ['yellow', [0, 0, 1, 0]],
];
const STEPS = [0.05, 0.1, 0.2, 0.3, 0.5, 0.7, 0.85, 1];
const MOST_LINE = 90;

/**
 * The page for finding faults: crosses to measure registration, scale and skew by; millimetre rulers down both edges for repeats; a
 * dense band with white below it, long enough for a ghost one turn of a drum or fuser later; steps of each colorant; thin lines
 * and small type; a line across the whole width. Pure: every format draws these marks.
 */
export function testMarks(sheet: SheetName, facts: PageFacts): readonly Mark[] {
  const { width, height } = SHEETS[sheet];
  return [
    ...crosses(width, height),
    ...ruler(EDGE, height, 'left'),
    ...ruler(width - EDGE, height, 'right'),
    text(30, 18, 14, 'Test page'),
    ...facts.lines.map((line, i) => text(30, 22 + 3.5 * i, 7, plain(line).slice(0, MOST_LINE))).slice(0, 2),
    box(30, BAND.y, width - 60, BAND.h, BLACK),
    text(
      30,
      BAND.y + BAND.h + 4,
      6,
      'White from here down to the wedges: what shows here again is a ghost. Measure its distance on the ruler.',
    ),
    ...wedges(height - 95),
    ...thinLines(height - 42),
    ...smallType(height - 30),
    box(EDGE + 12, height - 20, width - 2 * (EDGE + 12), 0.5, BLACK),
    text(
      30,
      height - 15,
      6,
      'This line is straight and level. The crosses stand 20 mm from the edges: the sheet is printed at full size if they do.',
    ),
  ];
}

function plain(line: string): string {
  return line.replace(/[^\x20-\x7e]/g, '?');
}

function box(x: number, y: number, w: number, h: number, ink: Ink): Mark {
  return { kind: 'box', x, y, w, h, ink };
}

function text(x: number, y: number, points: number, words: string): Mark {
  return { kind: 'text', x, y, points, text: words };
}

/** Centres 20 mm from both edges of each corner. */
function crosses(width: number, height: number): readonly Mark[] {
  return [20, width - 20].flatMap((x) =>
    [20, height - 20].flatMap((y) => [
      box(x - ARM, y - HAIR / 2, 2 * ARM, HAIR, BLACK),
      box(x - HAIR / 2, y - ARM, HAIR, 2 * ARM, BLACK),
    ]),
  );
}

/** A tick each millimetre from the sheet's upper edge; each fifth longer, each tenth longest and numbered. */
function ruler(x: number, height: number, side: 'left' | 'right'): readonly Mark[] {
  const marks: Mark[] = [];
  for (let mm = 10; mm <= height - 10; mm += 1) {
    const long = mm % 10 === 0 ? 5 : mm % 5 === 0 ? 3.5 : 2;
    marks.push(box(side === 'left' ? x : x - long, mm - HAIR / 2, long, HAIR, BLACK));
    if (mm % 10 === 0) marks.push(text(side === 'left' ? x + 5.3 : x - 8.3, mm + 0.7, 5, String(mm)));
  }
  return marks;
}

function wedges(top: number): readonly Mark[] {
  const shares = STEPS.map((share, i) => text(48.5 + i * 14, top - 1, 5, `${Math.round(share * 100)} %`));
  const rows = INKS.flatMap(([name, ink], row) => {
    const y = top + row * 11;
    const steps = STEPS.map((share, i) =>
      box(48 + i * 14, y, 14, 9, ink.map((part) => part * share) as unknown as Ink),
    );
    return [text(30, y + 5.5, 7, name), ...steps];
  });
  return [...shares, ...rows];
}

function thinLines(top: number): readonly Mark[] {
  return [0.1, 0.2, 0.3, 0.5, 1].flatMap((thick, i) => [
    box(30 + i * 30, top, 22, thick, BLACK),
    text(30 + i * 30, top + 4, 5, `${thick} mm`),
  ]);
}

function smallType(top: number): readonly Mark[] {
  return [4, 5, 6, 8].map((points, i) => text(30 + i * 38, top, points, `${points} point: 0123 aegs`));
}
