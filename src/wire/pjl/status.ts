/**
 * Reads the reply to `@PJL INFO STATUS`: the question's echo, lines of KEY=VALUE, a form feed. Common practice, no
 * published standard; forgiving, since every maker does it a little differently, and bounded, since nobody vouches for
 * who answers.
 */
import type { PjlValue } from '../../model/evidence.js';
import { replyText } from '../reply-text.js';

/** A whole reply takes about a hundred octets; more than this is not read. */
export const MOST_STATUS_OCTETS = 8192;
const MOST_DISPLAY = 200;
const MOST_LINES = 200;

const FORM_FEED = '\f';
const ECHO = /@PJL\s{1,8}INFO\s{1,8}STATUS/i;
const FIELD = /^\s{0,40}([A-Za-z][A-Za-z0-9]{0,30})\s{0,40}=(.*)$/s;

/** True once octets hold a whole reply: the echo of the question, a line with a value, and a form feed after them. */
export function isStatusComplete(octets: Uint8Array): boolean {
  if (octets.length === 0 || octets.indexOf(0x0c) < 0) return false;
  const text = replyText(octets.subarray(0, MOST_STATUS_OCTETS));
  return text
    .split(FORM_FEED)
    .slice(0, -1)
    .some((block) => ECHO.test(block) && block.includes('='));
}

/** Reads a reply, whole or not. Never throws; what was odd about it is a sentence in `problems`. */
export function readStatus(octets: Uint8Array): PjlValue {
  const problems: string[] = [];
  const note = (sentence: string): void => void (problems.includes(sentence) || problems.push(sentence));
  if (octets.length > MOST_STATUS_OCTETS) note('The reply was longer than a status is; its beginning was read.');
  const block = statusBlock(replyText(octets.subarray(0, MOST_STATUS_OCTETS)), note);
  const fields = fieldsOf(block, note);
  const value = {
    code: codeOf(fields.get('CODE'), note),
    display: displayOf(fields.get('DISPLAY'), note),
    online: onlineOf(fields.get('ONLINE'), note),
  };
  return { ...value, problems };
}

/** True when a reading holds anything that a printer said of its state. */
export function saysSomething({ code, display, online }: PjlValue): boolean {
  return code !== null || display !== null || online !== null;
}

type Note = (sentence: string) => void;

/** The lines that belong to the answer. Unsolicited status (USTATUS) may stand before it; the last answer counts. */
function statusBlock(text: string, note: Note): string {
  const blocks = text.split(FORM_FEED);
  const index = blocks.findLastIndex((block) => ECHO.test(block));
  if (index < 0) {
    if (text.trim() !== '') note('The reply does not repeat the question it answers.');
    return blocks.find((block) => /\bCODE\s{0,40}=/i.test(block)) ?? '';
  }
  if (index === blocks.length - 1) note('The reply does not end with a form feed: it may be cut short.');
  const block = blocks[index] ?? '';
  const start = block.search(ECHO);
  return block.slice(start);
}

function fieldsOf(block: string, note: Note): ReadonlyMap<string, string> {
  const fields = new Map<string, string>();
  for (const line of block.split(/\r\n|\n|\r/, MOST_LINES)) {
    const match = FIELD.exec(line);
    if (match === null) continue;
    const key = (match[1] ?? '').toUpperCase();
    if (!fields.has(key)) fields.set(key, (match[2] ?? '').trim());
    else if (['CODE', 'DISPLAY', 'ONLINE'].includes(key)) note(`${key} comes twice; the first one counts.`);
  }
  return fields;
}

function codeOf(text: string | undefined, note: Note): number | null {
  if (text === undefined) return null;
  if (/^\d{5}$/.test(text)) return Number(text);
  note('CODE is not a number of five digits; left out.');
  return null;
}

function onlineOf(text: string | undefined, note: Note): boolean | null {
  if (text === undefined) return null;
  const word = unquoted(text).toUpperCase();
  if (word === 'TRUE') return true;
  if (word === 'FALSE') return false;
  note('ONLINE is neither TRUE nor FALSE; left out.');
  return null;
}

function displayOf(text: string | undefined, note: Note): string | null {
  if (text === undefined) return null;
  if (text.startsWith('"') !== (text.length > 1 && text.endsWith('"'))) note('DISPLAY has only one quotation mark.');
  const words = unquoted(text).replace(/\s+/g, ' ').trim();
  if (words.length > MOST_DISPLAY) note('DISPLAY is longer than any display; cut.');
  return words === '' ? null : [...words].slice(0, MOST_DISPLAY).join('');
}

const unquoted = (text: string): string => text.replace(/^"/, '').replace(/"$/, '');
