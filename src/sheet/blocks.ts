import { Lines, type Span } from './lines.js';
import { type Block, MM, type Pen, TEXT_WIDTH, widthOf } from './pages.js';
import type { Run, Type } from './type.js';

export interface Look {
  readonly size?: number;
  /** From the left edge of the text, in points. */
  readonly indent?: number;
  readonly above?: number;
  readonly keep?: boolean;
  /** A box to tick, or a mark, left of the first line. */
  readonly lead?: 'box' | string;
  /** Set at the right end of the first line. */
  readonly right?: string;
  readonly width?: number;
  /** Of a row: without the rule above it. */
  readonly open?: boolean;
}

const SIZE = 9.5;
const LEADING = 1.3;
/** From the top of a line to its baseline, for a size of 1. */
const ASCENT = 0.98;
const BOX = 9;
const LEAD = 15;
/** Room for a line written by hand. */
const HAND = 7.5 * MM;

/** Makes the blocks of a sheet out of text. Every text has to be safe to show already. */
export class Composer {
  constructor(readonly type: Type) {}

  /** A paragraph. */
  text(spans: readonly Span[] | string, look: Look = {}): Block {
    const { size = SIZE, indent = 0, above = 0, keep = false, lead, right } = look;
    const start = indent + (lead === undefined ? 0 : LEAD);
    const aside = right === undefined ? [] : this.type.runs(right, 'regular');
    const asideWidth = widthOf(aside) * size;
    const width = (look.width ?? TEXT_WIDTH - indent) - (start - indent);
    const taken = asideWidth === 0 ? 0 : asideWidth + 12;
    const broken = new Lines(this.type, width / size, (width - taken) / size);
    for (const span of typeof spans === 'string' ? [{ text: spans }] : spans) broken.add(span);
    const lines = broken.all;
    const step = size * LEADING;
    const mark = lead === undefined || lead === 'box' ? [] : this.type.runs(lead, 'regular');
    return {
      height: above + lines.length * step,
      keep,
      draw: (pen, top) => {
        const first = top + above + size * ASCENT;
        if (lead === 'box') pen.box(indent, first - BOX + 1.5, BOX);
        else pen.text(mark, indent, first, size);
        for (const [index, runs] of lines.entries()) pen.text(runs, start, first + index * step, size);
        pen.text(aside, indent + (look.width ?? TEXT_WIDTH - indent) - asideWidth, first, size);
      },
    };
  }

  heading(text: string): Block {
    const block = this.text([{ text, weight: 'bold' }], { size: 12.5, above: 13, keep: true });
    return {
      ...block,
      height: block.height + 4,
      draw: (pen, top) => {
        block.draw(pen, top);
        pen.rule(0, top + block.height + 1, TEXT_WIDTH);
      },
    };
  }

  /** Lines to write on by hand, after a word or two. */
  toFill(label: string, indent = 0, count = 1, keep = false): Block {
    const runs = this.type.runs(label, 'regular');
    const from = label === '' ? 0 : widthOf(runs) * SIZE + 4;
    return {
      height: HAND * count,
      keep,
      draw: (pen, top) => {
        pen.text(runs, indent, top + HAND - 2, SIZE);
        for (let line = 1; line <= count; line += 1) {
          const x = indent + (line === 1 ? from : 0);
          pen.rule(x, top + HAND * line, TEXT_WIDTH - x, 0.45);
        }
      },
    };
  }

  /** Boxes with a word each, in as many lines as they need, and room to write behind the last. */
  choices(words: readonly string[], indent: number, keep = false): Block {
    const placed: { readonly runs: readonly Run[]; readonly x: number; readonly line: number }[] = [];
    let [x, line] = [indent, 0];
    for (const word of words) {
      const runs = this.type.runs(word, 'regular');
      const width = LEAD + widthOf(runs) * SIZE + 14;
      if (x > indent && x + width > TEXT_WIDTH) [x, line] = [indent, line + 1];
      placed.push({ runs, x, line });
      x += width;
    }
    const enough = TEXT_WIDTH - x >= 45 * MM;
    const writing = enough ? { x, line } : { x: indent, line: line + 1 };
    return {
      height: HAND * (writing.line + 1),
      keep,
      draw: (pen, top) => {
        for (const one of placed) {
          const baseline = top + HAND * (one.line + 1) - 2;
          pen.box(one.x, baseline - BOX + 1.5, BOX);
          pen.text(one.runs, one.x + LEAD - 2, baseline, SIZE);
        }
        pen.rule(writing.x, top + HAND * (writing.line + 1), TEXT_WIDTH - writing.x, 0.45);
      },
    };
  }

  /** One row of a table; `widths` are shares of the whole width. An empty cell has a line to write on. */
  row(cells: readonly (readonly Span[] | string | null)[], widths: readonly number[], look: Look = {}): Block {
    const gap = 8;
    const whole = widths.reduce((sum, share) => sum + share, 0);
    let x = 0;
    const parts = cells.map((cell, index) => {
      const width = ((widths[index] ?? 0) / whole) * TEXT_WIDTH;
      const part = { x, width: width - gap, cell };
      x += width;
      return part;
    });
    const blocks = parts.map(({ x: indent, width, cell }) =>
      cell === null ? null : this.text(cell, { size: look.size ?? 9, indent, width }),
    );
    const height = Math.max(...blocks.map((block) => block?.height ?? HAND)) + 5;
    return {
      height,
      keep: look.keep ?? false,
      draw: (pen, top) => {
        if (look.open !== true) pen.rule(0, top, TEXT_WIDTH, 0.7);
        blocks.forEach((block, index) => {
          const part = parts[index];
          if (block !== null) block.draw(pen, top + 2);
          else if (part !== undefined) pen.rule(part.x, top + HAND - 1, part.width, 0.45);
        });
      },
    };
  }

  /** A paragraph with a bar at its left: not to be passed over. */
  care(text: string, indent: number): Block {
    const block = this.text([{ text: 'Care: ', weight: 'bold' }, { text }], { indent: indent + 7, keep: true });
    return {
      ...block,
      draw: (pen: Pen, top: number) => {
        pen.bar(indent, top + 1.5, 2.5, block.height - 2, 0);
        block.draw(pen, top);
      },
    };
  }
}
