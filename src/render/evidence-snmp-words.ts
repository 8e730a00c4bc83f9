import type { SnmpEvidence, SnmpRows, SnmpSessionValue, SnmpValue } from '../model/evidence.js';
import { ALERT_CODES, ENUMS, ERROR_STATE_BITS } from '../registry/enums.generated.js';

type Row = Readonly<Record<string, SnmpValue>>;

/** At most this many rows of a table are put into words; the rest are counted. */
const ROWS_SHOWN = 4;

/** What an SNMP group, table or session said, in words. `outcome` is used where nothing came. */
export function snmpWords(e: SnmpEvidence, outcome: string): string {
  const { value } = e;
  if (value === null) return outcome;
  if (value.kind === 'session') return sessionWords(value, outcome);
  const said = tableWords(e.what, value.rows);
  const cut = value.cut === true ? ' (reading broke off)' : '';
  const base = said === '' ? outcome : said;
  return `${base}${cut}`;
}

function sessionWords(session: SnmpSessionValue, outcome: string): string {
  if (session.version !== null) return `answers version ${session.version} (${session.label ?? 'no name'})`;
  const tried = session.attempts.map((attempt) => `${attempt.label} ${attempt.detail ?? attempt.outcome}`);
  return tried.length === 0 ? outcome : `${outcome}; tried ${tried.join(', ')}`;
}

const TABLE_WORDS: Readonly<Record<string, (row: Row) => string>> = {
  system: (row) => joined([text(row.sysName), text(row.sysDescr)]),
  hrDeviceTable: (row) => joined([text(row.hrDeviceDescr), label('hrDeviceStatus', row.hrDeviceStatus)]),
  hrPrinterTable: (row) => joined([label('hrPrinterStatus', row.hrPrinterStatus), errorBits(row)]),
  prtAlertTable: alertWords,
  prtCoverTable: (row) => joined([text(row.prtCoverDescription), label('PrtCoverStatusTC', row.prtCoverStatus)], ' '),
  prtInputTable: (row) =>
    levelWords(named(row.prtInputName, row.prtInputDescription), row.prtInputCurrentLevel, row.prtInputMaxCapacity),
  prtOutputTable: (row) =>
    levelWords(
      `${named(row.prtOutputName, row.prtOutputDescription)}, room`,
      row.prtOutputRemainingCapacity,
      row.prtOutputMaxCapacity,
    ),
  prtMarkerSuppliesTable: (row) =>
    levelWords(text(row.prtMarkerSuppliesDescription), row.prtMarkerSuppliesLevel, row.prtMarkerSuppliesMaxCapacity),
  prtConsoleDisplayBufferTable: (row) => text(row.prtConsoleDisplayBufferText),
};

function tableWords(what: string, rows: SnmpRows): string {
  const all = Object.values(rows);
  if (all.length === 0) return 'empty';
  const words = TABLE_WORDS[what];
  if (words === undefined) return all.length === 1 ? '1 row read' : `${all.length} rows read`;
  const lines = all.map(words).filter((line) => line !== '');
  if (lines.length === 0) return all.length === 1 ? '1 row read' : `${all.length} rows read`;
  const more = lines.length > ROWS_SHOWN ? `; and ${lines.length - ROWS_SHOWN} more` : '';
  return `${lines.slice(0, ROWS_SHOWN).join('; ')}${more}`;
}

function alertWords(row: Row): string {
  const code = row.prtAlertCode;
  const name = typeof code === 'number' ? (ALERT_CODES[code]?.name ?? `code ${code}`) : '';
  const severity = label('PrtAlertSeverityLevelTC', row.prtAlertSeverityLevel);
  const description = text(row.prtAlertDescription);
  return joined([description === '' ? '' : `"${description}"`, name, severity]);
}

function errorBits(row: Row): string {
  const bits = row.hrPrinterDetectedErrorState;
  if (bits === undefined) return '';
  const octets = hexOf(bits);
  const names: string[] = [];
  for (let index = 0; index < Math.min(octets.length / 2, 2) * 8; index += 1) {
    const octet = Number.parseInt(octets.slice(Math.floor(index / 8) * 2, Math.floor(index / 8) * 2 + 2), 16);
    const name = ERROR_STATE_BITS[index];
    if ((octet & (0x80 >> (index % 8))) !== 0 && name !== undefined) names.push(name);
  }
  return names.join(' ');
}

/** OCTET STRING as hexadecimal: octets that happen to be US-ASCII come as text. */
function hexOf(value: SnmpValue): string {
  if (typeof value === 'string') return Buffer.from(value, 'latin1').toString('hex');
  return typeof value === 'object' && 'hex' in value ? value.hex : '';
}

/** A level with its capacity; −1, −2 and −3 are RFC 3805's "no limit", "unknown" and "some left". */
function levelWords(name: string, level: SnmpValue | undefined, capacity: SnmpValue | undefined): string {
  const head = name === '' ? 'unnamed' : name;
  if (typeof level !== 'number') return head;
  if (level === -1) return `${head} no limit`;
  if (level === -3) return `${head} some left`;
  if (level < 0) return `${head} not known`;
  return typeof capacity === 'number' && capacity > 0 ? `${head} ${level} of ${capacity}` : `${head} ${level}`;
}

function label(table: string, value: SnmpValue | undefined): string {
  if (typeof value !== 'number') return '';
  return ENUMS[table]?.[value] ?? `${value}`;
}

function named(name: SnmpValue | undefined, description: SnmpValue | undefined): string {
  const own = text(name);
  return own === '' ? text(description) : own;
}

/** Octets that are not US-ASCII are read as UTF-8: good enough for a line that only illustrates. */
function text(value: SnmpValue | undefined): string {
  if (typeof value === 'string') return value.trim();
  if (typeof value === 'object' && 'hex' in value) return Buffer.from(value.hex, 'hex').toString('utf8').trim();
  return '';
}

function joined(parts: readonly string[], separator = ', '): string {
  return parts.filter((part) => part !== '').join(separator);
}
