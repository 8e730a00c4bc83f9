import { Buffer } from 'node:buffer';
import { type Draw, mutate } from './mutate.js';
import { mutateJson } from './mutate-json.js';

/** How the seeds of one reader are spoilt. */
export interface Spoiling {
  readonly seeds: readonly Buffer[];
  /** Pieces that mean something in this format, put in at drawn places. */
  readonly tokens?: readonly string[];
  /** The seeds are JSON: half of the cases keep it well formed. */
  readonly json?: boolean;
  /** Most octets that a piece said again and again may come to. */
  readonly most?: number;
}

/** One case in this many is long: what takes the square of its length shows there and nowhere else. */
const LONG = 500;
const MOST = 256 * 1024;

/** A seed of the reader, changed. */
export function spoil({ seeds, tokens = [], json = false, most = MOST }: Spoiling, draw: Draw): Buffer {
  const seed = seeds[draw(seeds.length)] ?? Buffer.alloc(0);
  if (draw(LONG) === 0) return swollen(seed, tokens, most, draw);
  if (json && draw(2) === 0) return Buffer.from(mutateJson(seed.toString('utf8'), draw));
  if (tokens.length > 0 && draw(2) === 0) return withTokens(seed, tokens, draw);
  return mutate(seed, draw, seeds);
}

function withTokens(seed: Buffer, tokens: readonly string[], draw: Draw): Buffer {
  let out = seed;
  for (let left = 1 + draw(4); left > 0; left--) {
    const at = draw(out.length + 1);
    const token = Buffer.from(tokens[draw(tokens.length)] ?? '');
    const over = draw(3) === 0 ? draw(24) : 0;
    out = Buffer.concat([out.subarray(0, at), token, out.subarray(at + over)]);
  }
  return draw(4) === 0 ? mutate(out, draw) : out;
}

/** The seed with a piece of itself, or a token, again and again in its middle. */
function swollen(seed: Buffer, tokens: readonly string[], most: number, draw: Draw): Buffer {
  const at = draw(seed.length + 1);
  const own = seed.subarray(at, at + 1 + draw(48));
  const piece = tokens.length > 0 && draw(2) === 0 ? Buffer.from(tokens[draw(tokens.length)] ?? 'x') : own;
  if (piece.length === 0) return seed;
  const times = Math.max(1, Math.floor(most / (1 + draw(8)) / piece.length));
  const tail = draw(2) === 0 ? seed.subarray(at) : Buffer.alloc(0);
  return Buffer.concat([seed.subarray(0, at), Buffer.alloc(times * piece.length, piece), tail]).subarray(0, most);
}
