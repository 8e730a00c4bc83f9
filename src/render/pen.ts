import { styleText } from 'node:util';
import { pad, wrap } from './wrap.js';

const NARROWEST = 40;
const WIDEST = 100;

export type PenStyle = 'fault' | 'warning' | 'clear' | 'unknown' | 'faint' | 'strong';
const STYLES: Readonly<Record<PenStyle, Parameters<typeof styleText>[0]>> = {
  fault: ['bold', 'magentaBright'],
  warning: 'yellow',
  clear: 'cyan',
  unknown: 'blueBright',
  faint: 'dim',
  strong: 'bold',
};

/** Writes paragraphs for one terminal. Text is wrapped before it is coloured, so colour never moves a line break. */
export class Pen {
  private readonly lines: string[] = [];
  private readonly width: number;

  constructor(
    private readonly color: boolean,
    columns: number,
  ) {
    this.width = Math.min(WIDEST, Math.max(NARROWEST, Math.floor(columns) || 80));
  }

  private styled(style: PenStyle | undefined, text: string): string {
    if (style === undefined || !this.color || text === '') return text;
    return styleText(STYLES[style], text, { validateStream: false });
  }

  /** A paragraph; every line after the first begins with `rest`. */
  paragraph(text: string, style?: PenStyle, first = '', rest = first): void {
    for (const line of wrap(text, { columns: this.width, first, rest })) this.lines.push(this.styled(style, line));
  }

  /** A paragraph whose first cells are coloured by themselves. */
  marked(lead: string, text: string, style: PenStyle): void {
    const rest = ' '.repeat(pad(lead, 0).length);
    wrap(text, { columns: this.width, first: lead, rest }).forEach((line, index) => {
      const head = index === 0 ? this.styled(style, line.slice(0, lead.length)) : line.slice(0, lead.length);
      this.lines.push(`${head}${line.slice(lead.length)}`);
    });
  }

  heading(text: string): void {
    this.lines.push('', this.styled('strong', text));
  }

  /** All that was written, ending in a line break. */
  text(): string {
    return `${this.lines.join('\n')}\n`;
  }
}
