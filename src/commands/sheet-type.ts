import { readFile } from 'node:fs/promises';
import { createRequire } from 'node:module';
import type { TypeFiles, Weight } from '../sheet/type.js';

/** A family of Latin, Greek and Cyrillic letters under the SIL Open Font License, split by script: common letters first. */
const FAMILY = 'source-sans-3';
const SCRIPTS = ['latin', 'latin-ext', 'greek', 'cyrillic', 'cyrillic-ext', 'vietnamese', 'greek-ext'] as const;
const GRADES: Readonly<Record<Weight, number>> = { regular: 400, bold: 600 };

/** The fonts of printed sheets, as the package that holds them lies beside this program. */
export async function sheetType(): Promise<TypeFiles> {
  const { resolve } = createRequire(import.meta.url);
  const load = (weight: Weight): Promise<readonly Uint8Array[]> =>
    Promise.all(
      SCRIPTS.map((script) =>
        readFile(resolve(`@fontsource/${FAMILY}/files/${FAMILY}-${script}-${GRADES[weight]}-normal.woff`)),
      ),
    );
  return { regular: await load('regular'), bold: await load('bold') };
}
