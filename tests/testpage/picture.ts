import { readFileSync } from 'node:fs';

/** A page as dots, asked in millimetres from the upper left corner of the sheet. */
export interface Picture {
  readonly width: number;
  readonly height: number;
  readonly perMm: { readonly x: number; readonly y: number };
  /** 0 black to 255 white; of three colours the one asked for. −1 outside. */
  readonly at: (xMm: number, yMm: number, colour?: number) => number;
  /** Share of dark dots in a field. */
  readonly darkShare: (xMm: number, yMm: number, wMm: number, hMm: number) => number;
}

/** A grey or colour map as netpbm's format pages have them (PGM P5, PPM P6). */
export function pictureOf(bytes: Buffer, dpi: { readonly x: number; readonly y: number }): Picture {
  const header = /^P([56])\s(?:#.*\n)?\s*(\d+)\s+(\d+)\s+255\s/.exec(bytes.subarray(0, 120).toString('latin1'));
  if (header === null) throw new Error('no grey or colour map');
  const [all, kind, width, height] = header;
  const colours = kind === '6' ? 3 : 1;
  const [w, h] = [Number(width), Number(height)];
  const perMm = { x: dpi.x / 25.4, y: dpi.y / 25.4 };
  const dot = (x: number, y: number, colour: number): number =>
    x < 0 || y < 0 || x >= w || y >= h ? -1 : (bytes[all.length + (y * w + x) * colours + colour] ?? -1);
  const at = (x: number, y: number, colour = 0) => dot(Math.floor(x * perMm.x), Math.floor(y * perMm.y), colour);
  const darkShare = (x: number, y: number, wide: number, high: number): number => {
    let [dark, all] = [0, 0];
    for (let j = Math.floor(y * perMm.y); j < (y + high) * perMm.y; j += 1)
      for (let i = Math.floor(x * perMm.x); i < (x + wide) * perMm.x; i += 1) {
        all += 1;
        if (dot(i, j, 0) < 128) dark += 1;
      }
    return dark / all;
  };
  return { width: w, height: h, perMm, at, darkShare };
}

export function pictureFrom(file: string, dpi: number): Picture {
  return pictureOf(readFileSync(file), { x: dpi, y: dpi });
}

type Line = readonly [from: number, to: number];

/** Where dark begins and ends along a line down the page: edges in mm, dots counted as areas. */
export function darkDown({ at, perMm }: Picture, x: number, from: number, to: number): Line {
  return darkAlong((y) => at(x, y), perMm.y, from, to);
}

/** The same along a line across the page. */
export function darkAcross({ at, perMm }: Picture, y: number, from: number, to: number): Line {
  return darkAlong((x) => at(x, y), perMm.x, from, to);
}

function darkAlong(value: (mm: number) => number, perMm: number, from: number, to: number): Line {
  const [first, last] = [Math.floor(from * perMm), Math.ceil(to * perMm)];
  let span: Line | undefined;
  for (let dot = first; dot < last; dot += 1)
    if (value((dot + 0.5) / perMm) < 128) span = [span?.[0] ?? dot / perMm, (dot + 1) / perMm];
  return span ?? [Number.NaN, Number.NaN];
}
