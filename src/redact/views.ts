/**
 * Everything that the octets of a file can be read as: text, the same with escapes undone, what stands in it in hex, in Base64, as
 * decimal octets, and the files and streams that are packed in it. So a hidden word is found in whatever form it was left.
 */
import { unzipSync } from 'fflate';
import { shownText, streamsOf } from './pdf-text.js';

/** `text`: read as letters. `octets`: decoded, one character each, where chance can make any short word. `hex`: the same from hex. */
export interface View {
  readonly how: string;
  readonly form: 'text' | 'hex' | 'octets';
  readonly text: string;
  /** What the octets were written as, whole: only then are four of them an address. */
  readonly isWhole?: boolean;
}

/** Octets that one file may unpack to; a snapshot's own files stay far below. */
const MOST_UNPACKED = 256 * 1024 * 1024;
const DEEPEST = 3;

/** Runs that were looked at already, over all files of a snapshot: every printer tells mostly the same. */
export class Views {
  private readonly seen = new Set<string>();

  /** Views of a file, and of what is packed in it. */
  *of(octets: Uint8Array, depth = 0): Generator<View> {
    const latin1 = Buffer.from(octets.buffer, octets.byteOffset, octets.byteLength).toString('latin1');
    if (latin1.startsWith('PK\x03\x04')) return yield* this.packed(octets, depth);
    if (latin1.startsWith('%PDF')) yield* this.streams(octets, latin1, depth);
    const text = utf8(octets);
    yield* this.ofText(text ?? lettersIn(latin1), 0);
    if (text === undefined) yield { how: 'octets', form: 'octets', text: latin1 };
    if (latin1.includes('\0')) yield* wide(octets);
  }

  private *packed(archive: Uint8Array, depth: number): Generator<View> {
    if (depth > DEEPEST) return;
    let total = 0;
    const entries = unzipSync(archive, {
      filter: ({ originalSize }) => {
        total += originalSize;
        return total <= MOST_UNPACKED * 4;
      },
    });
    for (const [path, octets] of Object.entries(entries)) {
      yield* this.ofText(path, 0);
      yield* this.of(octets, depth + 1);
    }
  }

  /** Streams of a PDF, inflated where they are deflated, and what is shown in them in glyphs of its own fonts. */
  private *streams(octets: Uint8Array, latin1: string, depth: number): Generator<View> {
    if (depth > DEEPEST) return;
    const streams = [...streamsOf(octets, latin1)];
    for (const stream of streams) yield* this.of(stream, depth + 1);
    for (const text of shownText(streams)) yield { how: 'text shown by glyphs', form: 'text', text };
  }

  private *ofText(text: string, depth: number): Generator<View> {
    yield { how: 'plain text', form: 'text', text };
    yield* this.runs(text, depth);
    const plain = unescaped(text);
    if (plain === text) return;
    yield { how: 'escaped text', form: 'text', text: plain };
    yield* this.runs(plain, depth);
    const twice = unescaped(plain);
    if (twice !== plain) yield { how: 'text escaped twice', form: 'text', text: twice };
  }

  private *runs(text: string, depth: number): Generator<View> {
    for (const [run] of text.matchAll(/(?:[0-9a-f]{2}(?:[-: .,]|0x|\\x|%)?){3,}[0-9a-f]{2}/gi))
      yield* this.fromHex(run, depth);
    for (const [run] of text.matchAll(/\d{1,3}(?:[., ]+\d{1,3}){3,}/g)) yield* this.fromDecimals(run, depth);
    const joined = text.replace(/\r?\n(?=[A-Za-z0-9+/])/g, (end, at: number) =>
      /^[A-Za-z0-9+/]{40}$/.test(text.slice(Math.max(0, at - 40), at)) ? '' : end,
    );
    for (const [run] of joined.matchAll(/[A-Za-z0-9+/_-]{8,}/g)) yield* this.fromBase64(run, depth);
  }

  private *fromHex(run: string, depth: number): Generator<View> {
    const digits = run.replace(/0x|\\x|[^0-9a-f]/gi, '');
    if (!this.isNew(`h${digits}`)) return;
    for (const from of [0, 1]) {
      const octets = Buffer.from(digits.slice(from), 'hex');
      yield* this.decoded(octets, 'hex', 'hex', depth, from === 0 && digits.length % 2 === 0);
    }
  }

  private *fromDecimals(run: string, depth: number): Generator<View> {
    if (!this.isNew(`d${run}`)) return;
    const numbers = run.split(/[., ]+/).map(Number);
    yield* this.decoded(Buffer.from(numbers.map((n) => (n > 255 ? 0 : n))), 'decimal octets', 'octets', depth, false);
  }

  private *fromBase64(run: string, depth: number): Generator<View> {
    if (!this.isNew(`b${run}`)) return;
    for (let from = 0; from < 4; from += 1) {
      yield* this.decoded(Buffer.from(run.slice(from), 'base64'), 'Base64', 'octets', depth, false);
    }
  }

  private *decoded(octets: Buffer, how: string, form: View['form'], depth: number, isWhole: boolean): Generator<View> {
    const text = octets.toString('latin1');
    yield { how, form, text, isWhole };
    if (text.includes('\0')) for (const view of wide(octets)) yield { ...view, form, how: `${view.how} in ${how}` };
    if (depth < DEEPEST && isMostlyPrintable(text)) {
      for (const view of this.runs(text, depth + 1)) yield { ...view, how: `${view.how} in ${how}` };
    }
  }

  private isNew(run: string): boolean {
    if (this.seen.has(run)) return false;
    this.seen.add(run);
    return true;
  }
}

/** Runs of letters among other octets, a line each: between them chance makes words. */
function lettersIn(latin1: string): string {
  return (latin1.match(/[\t\n\r\x20-\x7e\xa0-\xff]{8,}/g) ?? []).join('\n');
}

function utf8(octets: Uint8Array): string | undefined {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(octets);
  } catch {
    return undefined;
  }
}

/** UTF-16 in both orders, from both kinds of place. */
function* wide(octets: Uint8Array): Generator<View> {
  const buffer = Buffer.from(octets);
  for (const from of [0, 1]) {
    const even = buffer.subarray(from, from + ((buffer.length - from) & ~1));
    yield { how: 'UTF-16', form: 'text', text: even.toString('utf16le') };
    yield { how: 'UTF-16', form: 'text', text: Buffer.from(even).swap16().toString('utf16le') };
  }
}

const NAMED: Readonly<Record<string, string>> = { amp: '&', lt: '<', gt: '>', quot: '"', apos: "'", nbsp: ' ' };

/** Escapes of JSON and JavaScript, of HTML, of URIs and of quoted-printable text undone, all in one pass. */
function unescaped(text: string): string {
  if (!/[\\&%=]/.test(text)) return text;
  return text
    .replace(/((?:%[0-9a-f]{2})+|(?:=[0-9A-F]{2})+)/gi, (run) => {
      const octets = Buffer.from(run.replace(/[%=]/g, ''), 'hex');
      return utf8(octets) ?? octets.toString('latin1');
    })
    .replace(
      /\\u\{([0-9a-f]{1,6})\}|\\u([0-9a-f]{4})|\\x([0-9a-f]{2})|&#x([0-9a-f]{1,6});|&#(\d{1,7});/gi,
      (all, ...parts) => {
        const [a, b, c, d, e] = parts as (string | undefined)[];
        const hex = a ?? b ?? c ?? d;
        return character(hex === undefined ? Number(e) : Number.parseInt(hex, 16)) ?? all;
      },
    )
    .replace(/&(amp|lt|gt|quot|apos|nbsp);/g, (_, name: string) => NAMED[name] ?? '')
    .replace(/\\(["'\\/])/g, '$1')
    .replace(/""/g, '"');
}

function character(code: number): string | undefined {
  return code <= 0x10ffff ? (code < 0x10000 ? String.fromCharCode(code) : String.fromCodePoint(code)) : undefined;
}

function isMostlyPrintable(text: string): boolean {
  let printable = 0;
  for (let at = 0; at < text.length; at += 1) {
    const code = text.charCodeAt(at);
    if (code >= 32 && code < 127) printable += 1;
  }
  return printable * 10 >= text.length * 9;
}
