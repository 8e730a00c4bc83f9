import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** One word as poppler's `pdftotext -bbox` finds it. Points from the upper left corner of the page. */
export interface PlacedWord {
  readonly page: number;
  readonly text: string;
  readonly xMin: number;
  readonly yMin: number;
  readonly xMax: number;
  readonly yMax: number;
}

/** What poppler, which nobody here wrote, reads out of a PDF. */
export interface PdfReading {
  readonly info: Readonly<Record<string, string>>;
  /** Width and height of each page, points. */
  readonly pages: readonly (readonly [number, number])[];
  readonly text: string;
  readonly words: readonly PlacedWord[];
  readonly fonts: string;
}

export function readPdf(octets: Uint8Array): PdfReading {
  const folder = mkdtempSync(join(tmpdir(), 'outfeed-sheet-'));
  const file = join(folder, 'sheet.pdf');
  try {
    writeFileSync(file, octets);
    const run = (program: string, ...options: readonly string[]): string =>
      execFileSync(program, options, { encoding: 'utf8', maxBuffer: 256 * 1024 * 1024 });
    const boxes = join(folder, 'boxes.html');
    run('pdftotext', '-bbox', file, boxes);
    const { pages, words } = placed(readFileSync(boxes, 'utf8'));
    const lines = run('pdfinfo', file).split('\n');
    return {
      info: Object.fromEntries(
        lines.flatMap((line) => [...line.matchAll(/^([^:]+):\s+(.*)$/g)].map((m) => [m[1], m[2]])),
      ),
      pages,
      words,
      text: run('pdftotext', '-layout', file, '-'),
      fonts: run('pdffonts', file),
    };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function placed(boxes: string): Pick<PdfReading, 'pages' | 'words'> {
  const pages: [number, number][] = [];
  const words: PlacedWord[] = [];
  for (const [, tag = '', attributes = '', text = ''] of boxes.matchAll(/<(page|word)([^>]*)>([^<\n]*)/g)) {
    const at = Object.fromEntries(
      [...attributes.matchAll(/(\w+)="([\d.-]+)"/g)].map(([, key, value]) => [key, Number(value)]),
    );
    if (tag === 'page') pages.push([at.width ?? 0, at.height ?? 0]);
    else
      words.push({
        page: pages.length,
        text,
        xMin: at.xMin ?? 0,
        yMin: at.yMin ?? 0,
        xMax: at.xMax ?? 0,
        yMax: at.yMax ?? 0,
      });
  }
  return { pages, words };
}
