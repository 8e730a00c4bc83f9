import fontkit, { type Font } from '@pdf-lib/fontkit';
import type { PDFDocument, PDFFont } from 'pdf-lib';

/** Font files of one weight, each for some characters; the first that has a character sets it. */
export type TypeFiles = Readonly<Record<Weight, readonly Uint8Array[]>>;
export const WEIGHTS = ['regular', 'bold'] as const;
export type Weight = (typeof WEIGHTS)[number];

/** Stands for every character that no font file has. It is in all Latin fonts (ISO 8859-1, 10/04) and seldom meant. */
export const STAND_IN = '¤';

/** A stretch of text in one font. */
export interface Run {
  readonly face: Face;
  readonly text: string;
  /** For a size of 1. */
  readonly width: number;
}

interface Face {
  readonly name: string;
  readonly file: Uint8Array;
  readonly font: Font;
  embedded?: PDFFont;
}

/** Which font sets which character, and how wide it is. Nothing is shaped: what is measured is what is drawn. */
export class Type {
  readonly #faces: Readonly<Record<Weight, readonly Face[]>>;
  readonly #known = new Map<string, readonly [face: Face, character: string, width: number]>();
  readonly #used = new Set<Face>();
  /** True once a character had to be replaced. */
  replaced = false;

  constructor(files: TypeFiles) {
    const faces = (weight: Weight): readonly Face[] =>
      files[weight].map((file, index) => ({ name: `${weight}-${index + 1}`, file, font: fontkit.create(file) }));
    this.#faces = { regular: faces('regular'), bold: faces('bold') };
  }

  runs(text: string, weight: Weight): readonly Run[] {
    const runs: Run[] = [];
    for (const character of text.normalize('NFC')) {
      const [face, shown, width] = this.#find(character, weight);
      const last = runs.at(-1);
      if (last?.face === face) runs[runs.length - 1] = { face, text: last.text + shown, width: last.width + width };
      else runs.push({ face, text: shown, width });
      this.#used.add(face);
    }
    return runs;
  }

  /** For a size of 1. */
  width(text: string, weight: Weight): number {
    return this.runs(text, weight).reduce((sum, run) => sum + run.width, 0);
  }

  #find(character: string, weight: Weight): readonly [Face, string, number] {
    const key = `${weight} ${character}`;
    const known = this.#known.get(key);
    const found = known ?? this.#look(character, weight);
    if (known === undefined) this.#known.set(key, found);
    if (found[1] !== character) this.replaced = true;
    return found;
  }

  #look(character: string, weight: Weight): readonly [Face, string, number] {
    for (const shown of [character, STAND_IN]) {
      const code = shown.codePointAt(0) ?? 0;
      const face = this.#faces[weight].find(({ font }) => font.hasGlyphForCodePoint(code));
      if (face === undefined) continue;
      const { advanceWidth } = face.font.glyphForCodePoint(code);
      return [face, shown, advanceWidth / face.font.unitsPerEm];
    }
    throw new Error(`no font file has ${STAND_IN}`);
  }

  /** Puts the fonts that were used into a document, cut down to the characters that it shows. */
  async embedInto(file: PDFDocument): Promise<void> {
    file.registerFontkit(fontkit);
    for (const face of this.#used) {
      const features = { liga: false, kern: false, clig: false, calt: false };
      // A name of our own: without one the library makes one up at random, and no two files would be the same.
      face.embedded = await file.embedFont(face.file, { subset: true, customName: face.name, features });
    }
  }
}

/** The font of a run, once it is in the document. */
export function fontOf({ face }: Run): PDFFont {
  if (face.embedded === undefined) throw new Error(`${face.name} is not in the document`);
  return face.embedded;
}
