/** Goes through evidence and whatever else is plain JSON, and hides what its fields tell of somebody. */
import {
  CHANGED,
  EVENT_FIELDS,
  EVENT_NUMBERS,
  FIELDS,
  FREE_TAGS,
  KEPT_ATTRIBUTES,
  KEPT_COLUMNS,
  KEPT_EVENTS,
  KEPT_TXT,
  type Treatment,
  TXT_FIELDS,
} from './fields.js';
import { redactedHex, redactedNumbers, textOf } from './octets.js';
import type { TextRedactor } from './text.js';
import { redactedPath } from './uri.js';

/** Where a value stands: names of the fields that lead to it, nearest first. */
interface Place {
  readonly name: string;
  readonly parent: string;
}

type Plain = Readonly<Record<string, unknown>>;

/** A copy with everything hidden. Numbers, yes and no, and the names of fields and keys of maps stay. */
export function redacted<T>(value: T, redactor: TextRedactor, name = ''): T {
  return walk(value, { name, parent: '' }, redactor) as T;
}

function walk(value: unknown, place: Place, redactor: TextRedactor): unknown {
  if (typeof value === 'string') return treated(value, treatmentOf(place), redactor);
  if (Array.isArray(value)) return value.map((one) => walk(one, place, redactor));
  if (typeof value !== 'object' || value === null) return value;
  if (value instanceof Map) return new Map([...value].map(([key, one]) => [key, walk(one, place, redactor)]));
  return walkObject(value as Plain, place, redactor);
}

function walkObject(value: Plain, place: Place, redactor: TextRedactor): unknown {
  if (isHex(value)) return hex(value, treatmentOf(place), redactor);
  if (typeof value.oid === 'string') return { ...value, oid: redactedNumbers(value.oid, redactor) };
  if (typeof value.tag === 'string' && 'value' in value) return attributeValue(value, place, redactor);
  if (place.name === 'rows') return rows(value, redactor);
  if (place.name === 'txt') return entries(value, (key, one) => treated(String(one), txtTreatment(key), redactor));
  if (place.name === 'names') return accounts(value, redactor);
  if (typeof value.provider === 'string' && isPlain(value.data)) {
    return {
      ...value,
      provider: redactor.text(value.provider),
      data: eventData(value.data, Number(value.id), value.provider, redactor),
    };
  }
  return entries(value, (key, one) => {
    if (key === 'what') return redactor.text(what(value, String(one), redactor));
    const treatment = key === 'now' && typeof one === 'string' ? CHANGED[String(value.what)] : undefined;
    return treatment === undefined
      ? walk(one, { name: key, parent: place.name }, redactor)
      : treated(String(one), treatment, redactor);
  });
}

/** A name that was looked up is what was asked; the other questions are the program's own words. */
function what(record: Plain, text: string, redactor: TextRedactor): string {
  return record.source === 'dns' ? redactor.whole('host', text) : text;
}

function isPlain(value: unknown): value is Plain {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

function isHex(value: Plain): value is { readonly hex: string } {
  return typeof value.hex === 'string' && Object.keys(value).length === 1;
}

function entries(value: Plain, change: (key: string, one: unknown) => unknown): Plain {
  return Object.fromEntries(Object.entries(value).map(([key, one]) => [key, change(key, one)]));
}

function treatmentOf({ name, parent }: Place): Treatment | undefined {
  const own = `${parent}.${name}`;
  if (Object.hasOwn(FIELDS, own)) return FIELDS[own];
  return Object.hasOwn(FIELDS, name) ? FIELDS[name] : undefined;
}

function treated(text: string, treatment: Treatment | undefined, redactor: TextRedactor): string {
  switch (treatment) {
    case undefined:
    case 'uri':
      return redactor.text(text);
    case 'model':
      return redactor.model(text);
    case 'version':
      return redactor.version(text);
    case 'path':
      return redactedPath(text, redactor);
    case 'device-id':
      return deviceId(text, redactor);
    case 'mac':
    case 'fingerprint':
      return octetsAsText(text, treatment, redactor);
    case 'certificate-name':
      return certificateName(text, redactor);
    case 'lpd':
      return lpdState(text, redactor);
    case 'label':
      return label(text, redactor);
    case 'port':
      return USUAL_PORT.test(text) ? redactor.text(text) : redactor.whole('queue', text);
    default:
      return numbered(text, (name) => redactor.whole(treatment, name));
  }
}

/** Names that a Windows host gives its ports itself, which hold addresses at most. Common practice, no published source. */
const USUAL_PORT =
  /^(?:(?:IP_)?\d{1,3}(?:\.\d{1,3}){3}(?:_\d+)?|WSD-[0-9a-f.-]+|(?:USB|LPT|COM|TS|DOT4_)\d+:?|(?:FILE|NUL|PORTPROMPT|SHRFAX|XPSPort):)$/i;

/** `front-desk#2`: the second printer behind one address. */
function numbered(text: string, change: (name: string) => string): string {
  const [, name, number] = /^(.+)(#\d{1,9})$/.exec(text) ?? [];
  return name === undefined ? change(text) : change(name) + number;
}

function octetsAsText(text: string, kind: 'mac' | 'fingerprint', redactor: TextRedactor): string {
  const digits = text.replace(/[^0-9a-f]/gi, '').length;
  if (kind === 'fingerprint') return digits < 8 ? redactor.text(text) : redactor.standIns.of('fingerprint', text);
  return digits === 12 && /^[0-9a-f:. -]+$/i.test(text) ? (redactor.mac(text) ?? text) : redactor.text(text);
}

/** Octets: a text of anybody's choosing becomes its stand-in, a hardware address its own, the rest is looked through. */
function hex(value: { readonly hex: string }, treatment: Treatment | undefined, redactor: TextRedactor): unknown {
  if (treatment === 'mac' && value.hex.length === 12) return { hex: redactor.mac(value.hex) ?? value.hex };
  if (treatment === undefined) return { hex: redactedHex(value.hex, redactor) };
  const text = textOf(Buffer.from(value.hex, 'hex').toString('latin1'));
  return text === undefined ? { hex: redactedHex(value.hex, redactor) } : treated(text, treatment, redactor);
}

function rows(value: Plain, redactor: TextRedactor): Plain {
  return Object.fromEntries(
    Object.entries(value).map(([instance, row]) => [
      redactedNumbers(instance, redactor),
      isPlain(row)
        ? entries(row, (column, cell) => walkCell(column, cell, redactor))
        : walk(row, { name: '', parent: '' }, redactor),
    ]),
  );
}

function walkCell(column: string, cell: unknown, redactor: TextRedactor): unknown {
  // A local time tells where a device stands.
  if (column === 'hrSystemDate') return { hex: '' };
  const known = Object.hasOwn(FIELDS, column) || KEPT_COLUMNS.test(column);
  if (known || typeof cell !== 'string') return walk(cell, { name: column, parent: 'rows' }, redactor);
  return redactor.whole('text', cell);
}

/** One value of an IPP attribute: what anybody may have chosen is hidden unless it is known to say how the printer is. */
function attributeValue(value: Plain, { name }: Place, redactor: TextRedactor): unknown {
  const { tag, value: inner } = value;
  if (isPlain(inner) && isPlain(inner.members)) {
    return {
      ...value,
      value: { members: entries(inner.members, (key, one) => walk(one, { name: key, parent: 'members' }, redactor)) },
    };
  }
  const isFree = FREE_TAGS.test(String(tag)) && !KEPT_ATTRIBUTES.test(name);
  if (tag === 'dateTime' && typeof inner === 'string') return { ...value, value: inUtc(inner) };
  const treatment =
    treatmentOf({ name, parent: 'attributes' }) ?? (isFree && !isReadableUri(tag, inner) ? 'text' : undefined);
  if (typeof inner === 'string') return { ...value, value: treated(inner, treatment, redactor) };
  if (!isPlain(inner)) return value;
  if (isHex(inner)) return { ...value, value: hex(inner, treatment === 'text' ? undefined : treatment, redactor) };
  if (typeof inner.text === 'string')
    return { ...value, value: { ...inner, text: treated(inner.text, treatment, redactor) } };
  return value;
}

/** A URI whose parts are told apart; of any other, as `tel:` and `geo:`, all of it tells of somebody. */
function isReadableUri(tag: unknown, value: unknown): boolean {
  return tag === 'uri' && typeof value === 'string' && /^(?:[a-z][a-z0-9+.-]*:\/\/|urn:uuid:|mailto:)/i.test(value);
}

/** The same moment by the clock of nowhere: an offset from UTC tells where a device stands. */
function inUtc(time: string): string {
  const ms = Date.parse(time);
  return Number.isNaN(ms) ? time : new Date(ms).toISOString();
}

function txtTreatment(key: string): Treatment | undefined {
  if (Object.hasOwn(TXT_FIELDS, key)) return TXT_FIELDS[key];
  return KEPT_TXT.has(key) ? undefined : 'text';
}

/** Security identifier → account. */
function accounts(value: Plain, redactor: TextRedactor): Plain {
  return Object.fromEntries(
    Object.entries(value).map(([sid, account]) => [redactor.text(sid), redactor.whole('person', String(account))]),
  );
}

function eventData(data: Plain, id: number, provider: string, redactor: TextRedactor): Plain {
  const ofPrinting = /print(service|spooler)/i.test(provider);
  return entries(data, (key, one) => {
    const name = key.toLowerCase();
    if (name === 'binary') return redactedHex(String(one), redactor);
    const treatment = ofPrinting ? (EVENT_FIELDS[name] ?? EVENT_NUMBERS[id]?.[name]) : undefined;
    const unknown = ofPrinting && treatment === undefined && !KEPT_EVENTS.has(id);
    return unknown ? numberOnly(String(one)) : treated(String(one), treatment, redactor);
  });
}

/** What nobody knows the meaning of and nobody judges by. */
function numberOnly(text: string): string {
  return /^(?:\d{0,10}|0x[0-9a-f]{1,8})$/i.test(text) ? text : 'hidden';
}

/** `MFG:…;MDL:…;SN:…;` (IEEE 1284): the serial number alone tells which device it is. */
function deviceId(text: string, redactor: TextRedactor): string {
  return text
    .split(';')
    .map((part) => {
      const [, key, value = ''] = /^(\s*(?:SN|SERN|SERIALNUMBER|SERIAL)\s*:)(.*)$/is.exec(part) ?? [];
      return key === undefined ? redactor.text(part) : `${key}${redactor.whole('serial', value)}`;
    })
    .join(';');
}

/** `CN=printer, O=Example`. */
function certificateName(text: string, redactor: TextRedactor): string {
  return text.replace(
    /(^|, )([A-Za-z0-9.]+)=((?:(?!, [A-Za-z0-9.]+=).)*)/gs,
    (_, before: string, key: string, value: string) => {
      if (key === 'C') return `${before}${key}=${value}`;
      return `${before}${key}=${redactor.whole(key === 'CN' ? 'host' : key === 'O' || key === 'OU' ? 'group' : 'text', value)}`;
    },
  );
}

/** Of a line printer daemon, in characters. */
const LONGEST_ROW = 1_000;

/** Rows of a line printer daemon's state: the owner and the files of each job. */
function lpdState(text: string, redactor: TextRedactor): string {
  const person = (name: string): string => redactor.whole('person', name);
  const files = (names: string): string => {
    const size = /(?<!\s)\s+\d{1,15} (?:bytes|octets)\s*$/i.exec(names)?.[0] ?? '';
    const listed = names.slice(0, names.length - size.length);
    return /^\(?standard input\)?$/i.test(listed.trim()) ? names : redactor.whole('document', listed) + size;
  };
  let inLongRow = false;
  return text
    .split('\n')
    .map((whole) => {
      // No row is longer: what is, is not one, and is read as text.
      const line = whole.length > LONGEST_ROW ? '' : whole;
      const short = /^(\s*(?:active|stalled|hold|\d{1,6}(?:st|nd|rd|th))\s+)(\S+)(\s+\d{1,9}\s+)(\S.*)$/i.exec(line);
      if (short !== null) return `${short[1]}${person(short[2] ?? '')}${short[3]}${files(short[4] ?? '')}`;
      const long =
        /^(\s*)(\S{1,100})(:\s+(?:active|stalled|hold|\d{1,6}(?:st|nd|rd|th))\s.*\[job \d{1,9}\s*)(\S*?)(\].*)$/i.exec(
          line,
        );
      if (long !== null) {
        inLongRow = true;
        const from = long[4] === '' ? '' : redactor.whole('host', long[4] ?? '');
        return `${long[1]}${person(long[2] ?? '')}${long[3]}${from}${long[5]}`;
      }
      if (inLongRow && /^\s+\S/.test(line))
        return line.replace(/^(\s+)([\s\S]*)$/, (_, blank: string, rest: string) => blank + files(rest));
      inLongRow = false;
      return redactor.text(whole);
    })
    .join('\n');
}

/** Which credential it was: a community may be told by its own words, a user by the name. */
function label(text: string, redactor: TextRedactor): string {
  const [, before, name = ''] = /^(user )(.+)$/.exec(text) ?? [];
  if (before !== undefined) return before + redactor.whole('person', name);
  return text.replace(/^community "(.*)"$/, (_, word: string) => `community "${redactor.whole('secret', word)}"`);
}
