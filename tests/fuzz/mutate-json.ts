import type { Draw } from './mutate.js';

/** A key that no object literal can write without touching the prototype: put there as a property of its own. */
function put(holder: Record<string, unknown>, key: string, value: unknown): void {
  Object.defineProperty(holder, key, { value, writable: true, enumerable: true, configurable: true });
}

const NAMES = ['__proto__', 'constructor', 'prototype', 'toString', 'hasOwnProperty', 'length', '', '0', '\u0000', 'é'];
const TEXTS = [
  '',
  ' ',
  '\u0000',
  '\u001b[2J\u001b]0;x\u0007',
  '\ud800',
  '\u202egpj.exe',
  '<script>alert(1)</script>',
  '=1+1',
  '../../etc/passwd',
  '-0',
  '1e999',
  'ipp://[fe80::1%25e0]:99999/',
  '2026-13-45T25:61:61Z',
  '+275760-09-13T00:00:00.001Z',
  '0000-01-01T00:00:00Z',
  '9999-12-31T23:59:60Z',
];
const NUMBERS = [0, -0, -1, -2, -3, 1.5, 2 ** 31, 2 ** 32, 2 ** 53, -(2 ** 53), 1e308, -1e308, 5e-324];

function deep(levels: number): unknown {
  let value: unknown = 0;
  for (let level = 0; level < levels; level++) value = level % 2 === 0 ? [value] : { a: value };
  return value;
}

function hostile(draw: Draw): unknown {
  switch (draw(10)) {
    case 0:
      return null;
    case 1:
      return draw(2) === 0;
    case 2:
    case 3:
      return NUMBERS[draw(NUMBERS.length)];
    case 4:
    case 5:
      return TEXTS[draw(TEXTS.length)];
    case 6:
      return [];
    case 7:
      return {};
    case 8:
      return deep([3, 40, 400, 1500][draw(4)] ?? 3);
    default:
      return 'ä\n'.repeat([1, 200, 5000][draw(3)] ?? 1);
  }
}

type Holder = Record<string, unknown> | unknown[];
interface Place {
  readonly holder: Holder;
  readonly key: string;
}

/** A drawn place, deep or shallow. Undefined in a document without any. */
function placeIn(document: unknown, draw: Draw): Place | undefined {
  let place: Place | undefined;
  for (let here = document; typeof here === 'object' && here !== null; ) {
    const keys = Object.keys(here);
    const key = keys[draw(Math.max(1, keys.length))];
    if (key === undefined) break;
    const holder = here as Holder;
    place = { holder, key };
    if (draw(6) === 0) break;
    here = (holder as Record<string, unknown>)[key];
  }
  return place;
}

function change(document: unknown, draw: Draw): void {
  const place = placeIn(document, draw);
  if (place === undefined) return;
  const holder = place.holder as Record<string, unknown>;
  const { key } = place;
  const kind = draw(8);
  if (kind < 4) put(holder, key, hostile(draw));
  else if (kind === 4 && Array.isArray(holder)) holder.splice(Number(key), 1);
  else if (kind === 4) delete holder[key];
  else if (kind === 5 && Array.isArray(holder)) {
    for (let left = [1, 3, 60][draw(3)] ?? 1; left > 0; left--) holder.push(holder[Number(key)]);
  } else if (kind === 6) {
    const other = placeIn(document, draw);
    // A value from elsewhere in the document; what holds this place itself would be a circle.
    const value = (other?.holder as Record<string, unknown> | undefined)?.[other?.key ?? ''];
    put(holder, key, value === undefined ? null : JSON.parse(JSON.stringify(value)));
  } else if (Array.isArray(holder)) holder.splice(Number(key), 0, hostile(draw));
  else put(holder, NAMES[draw(NAMES.length)] ?? '', hostile(draw));
}

/** One to four changes of a JSON text's values, keys and rows: it stays JSON, so that what lies behind the syntax is reached. */
export function mutateJson(text: string, draw: Draw): string {
  const document: unknown = JSON.parse(text);
  for (let left = 1 + draw(4); left > 0; left--) change(document, draw);
  return JSON.stringify(document);
}
