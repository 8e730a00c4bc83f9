import { grayscale, type PDFDocument, type PDFPage } from 'pdf-lib';
import { fontOf, type Run } from './type.js';

/** PDF's unit (ISO 32000-1, 8.3.2.3). */
export const MM = 72 / 25.4;

/**
 * ISO 216 A4. Letter (ANSI/ASME Y14.1) is 17.6 mm shorter: whichever edge a printer lays the page against, what stands 24 mm or more
 * from top and bottom stays on the paper, with 6 mm that no printer prints on to spare.
 */
export const PAGE = { width: 210 * MM, height: 297 * MM, side: 15 * MM, top: 25 * MM, bottom: 25 * MM } as const;
export const TEXT_WIDTH = PAGE.width - 2 * PAGE.side;
/** Page's name above, its number below: lost on Letter at worst. */
const HEAD_AT = 20.5 * MM;
const FOOT_AT = PAGE.height - 17.5 * MM;

/** Draws on one page. Points from the upper left corner of the text. */
export interface Pen {
  text(runs: readonly Run[], x: number, baseline: number, size: number): void;
  /** `shade` 0 is black, 1 white. */
  rule(x: number, y: number, width: number, shade?: number): void;
  /** A box to tick; `y` is its upper edge. */
  box(x: number, y: number, size: number): void;
  bar(x: number, y: number, width: number, height: number, shade: number): void;
}

/** Something that is not torn apart over two pages. */
export interface Block {
  readonly height: number;
  /** Belongs on the same page as the block that follows it. */
  readonly keep: boolean;
  draw(pen: Pen, top: number): void;
}

/** The blocks of each page. A chain of blocks that belong together moves to the next page as a whole, unless it fills more than one. */
export function paginate(blocks: readonly Block[]): readonly (readonly Block[])[] {
  const room = PAGE.height - PAGE.top - PAGE.bottom;
  const pages: Block[][] = [[]];
  let used = 0;
  const breakBefore = (height: number): void => {
    if (used === 0 || used + height <= room) return;
    pages.push([]);
    used = 0;
  };
  for (let at = 0; at < blocks.length; ) {
    const chain = chainFrom(blocks, at);
    const height = chain.reduce((sum, block) => sum + block.height, 0);
    if (height <= room) breakBefore(height);
    for (const block of chain) {
      breakBefore(block.height);
      pages.at(-1)?.push(block);
      used += block.height;
    }
    at += chain.length;
  }
  return pages;
}

function chainFrom(blocks: readonly Block[], at: number): readonly Block[] {
  let end = at;
  while (blocks[end]?.keep === true && end + 1 < blocks.length) end += 1;
  return blocks.slice(at, end + 1);
}

/** What stands on every page. */
export interface Furniture {
  readonly head: readonly Run[];
  readonly foot: readonly Run[];
  readonly number: (page: number, of: number) => readonly Run[];
  readonly size: number;
}

export function drawPages(file: PDFDocument, blocks: readonly Block[], furniture: Furniture): void {
  const pages = paginate(blocks);
  pages.forEach((own, index) => {
    const page = file.addPage([PAGE.width, PAGE.height]);
    const pen = penFor(page);
    const { head, foot, size } = furniture;
    if (index > 0) pen.text(head, 0, HEAD_AT - PAGE.top, size);
    pen.text(foot, 0, FOOT_AT - PAGE.top, size);
    const number = furniture.number(index + 1, pages.length);
    pen.text(number, TEXT_WIDTH - widthOf(number) * size, FOOT_AT - PAGE.top, size);
    let top = 0;
    for (const block of own) {
      block.draw(pen, top);
      top += block.height;
    }
  });
}

export function widthOf(runs: readonly Run[]): number {
  return runs.reduce((sum, { width }) => sum + width, 0);
}

function penFor(page: PDFPage): Pen {
  const x0 = PAGE.side;
  const y0 = PAGE.height - PAGE.top;
  return {
    text: (runs, x, baseline, size) => {
      let at = x0 + x;
      for (const run of runs) {
        page.drawText(run.text, { x: at, y: y0 - baseline, size, font: fontOf(run) });
        at += run.width * size;
      }
    },
    rule: (x, y, width, shade = 0) =>
      page.drawLine({
        start: { x: x0 + x, y: y0 - y },
        end: { x: x0 + x + width, y: y0 - y },
        thickness: 0.5,
        color: grayscale(shade),
      }),
    box: (x, y, size) =>
      page.drawRectangle({
        x: x0 + x,
        y: y0 - y - size,
        width: size,
        height: size,
        borderWidth: 0.8,
        borderColor: grayscale(0),
      }),
    bar: (x, y, width, height, shade) =>
      page.drawRectangle({ x: x0 + x, y: y0 - y - height, width, height, color: grayscale(shade) }),
  };
}
