import {
  type DnsSdEvidence,
  type Evidence,
  type HistoryEvidence,
  type HttpEvidence,
  isExchange,
  type NeighbourEvidence,
  type Outcome,
  type PjlEvidence,
  type SwitchEvidence,
} from '../model/evidence.js';
import { readTestPageRecord } from '../model/testpage.js';
import { namesOf } from '../wire/job/languages.js';
import { readSniffed } from '../wire/job/sniff.js';
import { printHostWords } from './evidence-host-words.js';
import { exchangeWords } from './evidence-ipp-words.js';
import { snmpWords } from './evidence-snmp-words.js';

/** What each outcome means when nothing more exact can be said. */
const OUTCOME_WORDS: Readonly<Record<Outcome, string>> = {
  answered: 'answered',
  refused: 'refused',
  silent: 'no answer in the time allowed',
  denied: 'refused to us: not permitted',
  garbled: 'the answer breaks its standard',
  failed: 'could not be asked',
};

/** Common services of a printer, by TCP port (IANA service names; 9100 is common practice, no published source). */
const PORT_NAMES: Readonly<Record<string, string>> = {
  '80': 'web page',
  '443': 'web page, TLS',
  '515': 'LPD',
  '631': 'IPP',
  '9100': 'raw printing',
};

/** System error codes that say more than the outcome does. */
const ERROR_WORDS: Readonly<Record<string, string>> = {
  ECONNREFUSED: 'refused',
  ECONNRESET: 'cut off by the other side',
  EHOSTUNREACH: 'host unreachable',
  ENETUNREACH: 'network unreachable',
  ETIMEDOUT: 'no answer in the time allowed',
  ENOTFOUND: 'no such name',
  EAI_AGAIN: 'the name server gave no answer',
};

/**
 * One evidence record as one line for a person. The line may hold text that the printer supplied:
 * whoever shows it makes it safe for the place (`escape.ts`).
 */
export function describeEvidence(e: Evidence): string {
  const subject = subjectWords(e);
  const said = e.value === null ? OUTCOME_WORDS[e.outcome] : valueWords(e);
  const time = timed(e) ? `, ${Math.round(e.tookMs)} ms` : '';
  return `${subject}: ${said}${time}`;
}

function timed(e: Evidence): boolean {
  return e.outcome !== 'failed' && (e.source === 'tcp' || e.source === 'icmp' || e.outcome === 'silent');
}

const ABOUT_WORDS: Readonly<Record<Evidence['about'], string>> = {
  target: '',
  self: 'this machine',
  gateway: 'the gateway',
  fellow: 'a neighbour on the same network',
  queue: 'the print queue',
  elsewhere: 'another device',
};

function subjectWords(e: Evidence): string {
  const asked = questionWords(e);
  if (e.about === 'target') return asked;
  if (e.about === 'queue') return `print queue ${e.subject}, ${asked}`;
  return `${ABOUT_WORDS[e.about]} (${e.subject}), ${asked}`;
}

function questionWords(e: Evidence): string {
  switch (e.source) {
    case 'tcp':
      return portWords(e.what);
    case 'neighbour':
      return e.what === 'route' ? 'the way there' : 'the network card at this address';
    case 'icmp':
      return e.what === 'echo' ? 'ping' : 'ping with full-sized packets';
    case 'dns':
      return `name ${e.what}`;
    case 'dns-sd':
      return `announcements of ${e.what}`;
    case 'snmp':
      return e.what === 'session' ? 'SNMP' : withName(TABLE_NAMES[e.what], 'SNMP', e.what);
    case 'spooler':
      if (!isExchange(e)) return e.what;
      return withName(OPERATION_WORDS[e.what], 'IPP', e.what);
    case 'ipp':
      return withName(OPERATION_WORDS[e.what], 'IPP', e.what);
    case 'lpd':
      return 'LPD queue state';
    case 'pjl':
      return "the printer's own status line (PJL)";
    case 'http':
      return 'web page';
    case 'switch':
      return 'the switch';
    case 'history':
      if (e.what === 'job-file') return `the job file ${e.subject}`;
      if (e.what === 'test-page') return 'a test page that was sent';
      return e.what === 'expected' ? 'expected by the configuration' : `known from before (${e.what})`;
    case 'operator':
      return `seen by a person (${e.what})`;
  }
}

/** What a MIB's tables hold, for somebody who does not know their names. */
const TABLE_NAMES: Readonly<Record<string, string>> = {
  system: 'its name and description',
  hrDeviceTable: 'its device status',
  hrPrinterTable: 'its printer status',
  prtAlertTable: "the printer's alert list",
  prtCoverTable: 'its covers',
  prtInputTable: 'its trays',
  prtOutputTable: 'its output bins',
  prtMarkerSuppliesTable: 'its supplies',
  prtConsoleDisplayBufferTable: 'its display',
};

/** What an IPP operation asks (RFC 8011 section 4). */
const OPERATION_WORDS: Readonly<Record<string, string>> = {
  'Get-Printer-Attributes': 'what it says of itself',
  'Get-Jobs': 'its jobs',
  'Get-Job-Attributes': 'the job that the others wait for',
  'Validate-Job': 'a job tried out, nothing printed',
};

function withName(words: string | undefined, protocol: string, name: string): string {
  return words === undefined ? `${protocol} ${name}` : `${words} (${protocol} ${name})`;
}

function portWords(what: string): string {
  const port = what.split('/')[0] ?? what;
  const name = PORT_NAMES[port];
  return name === undefined ? `port ${port}` : `port ${port} (${name})`;
}

function valueWords(e: Evidence): string {
  switch (e.source) {
    case 'tcp':
      return e.value === null ? OUTCOME_WORDS[e.outcome] : errorWords(e.value);
    case 'icmp':
      return e.outcome === 'answered' ? 'answered' : OUTCOME_WORDS[e.outcome];
    case 'dns':
      return dnsWords(e.value?.addresses ?? [], e.value?.code, e.outcome);
    case 'neighbour':
      return neighbourWords(e);
    case 'dns-sd':
      return serviceWords(e);
    case 'snmp':
      return snmpWords(e, OUTCOME_WORDS[e.outcome]);
    case 'spooler':
      return isExchange(e) ? exchangeWords(e, OUTCOME_WORDS[e.outcome], errorWords) : printHostWords(e);
    case 'ipp':
      return exchangeWords(e, OUTCOME_WORDS[e.outcome], errorWords);
    case 'http':
      return httpWords(e);
    case 'pjl':
      return pjlWords(e);
    case 'switch':
      return switchWords(e);
    case 'history':
      return historyWords(e);
    case 'lpd':
      return e.value?.text.trim() || 'an empty answer';
    case 'operator':
      return e.value ?? OUTCOME_WORDS[e.outcome];
  }
}

function errorWords(code: string): string {
  const words = ERROR_WORDS[code];
  return words === undefined ? code : `${words} (${code})`;
}

function dnsWords(addresses: readonly string[], code: string | undefined, outcome: Outcome): string {
  if (addresses.length > 0) return addresses.join(', ');
  return code === undefined ? OUTCOME_WORDS[outcome] : errorWords(code);
}

/** States of the neighbour table, in words; a stale entry is no proof of life. */
const NEIGHBOUR_WORDS: Readonly<Record<string, string>> = {
  reachable: 'answers now',
  stale: 'known from earlier, not confirmed',
  delay: 'being confirmed',
  probe: 'being confirmed',
  incomplete: 'nobody answers for the address',
  failed: 'nobody answers for the address',
  permanent: 'entered by hand',
  noarp: 'needs no resolving',
  absent: 'no entry',
};

function neighbourWords(e: NeighbourEvidence): string {
  const { value } = e;
  if (value === null) return OUTCOME_WORDS[e.outcome];
  if (value.kind === 'entry') {
    const words = NEIGHBOUR_WORDS[value.state] ?? value.state;
    return value.mac === null ? words : `${value.mac}, ${words}`;
  }
  const through = value.interface === null ? '' : ` on ${value.interface}`;
  const carrier = value.carrier === false ? ', but that interface has no link' : '';
  if (value.reach === 'none') return 'no route';
  if (value.reach === 'loopback') return 'this machine itself';
  if (value.reach === 'onlink') return `same network${through}${carrier}`;
  return `through gateway ${value.gateway ?? 'unknown'}${through}${carrier}`;
}

function serviceWords(e: DnsSdEvidence): string {
  const names = (e.value?.instances ?? []).map((instance) => instance.name);
  return names.length === 0 ? 'none heard' : names.join(', ');
}

function httpWords(e: HttpEvidence): string {
  if (e.value?.status === null || e.value === null) {
    return e.value?.error === undefined ? OUTCOME_WORDS[e.outcome] : errorWords(e.value.error);
  }
  return e.value.server === undefined ? `status ${e.value.status}` : `status ${e.value.status}, ${e.value.server}`;
}

function pjlWords(e: PjlEvidence): string {
  if (e.value === null) return OUTCOME_WORDS[e.outcome];
  const parts = [
    e.value.code === null ? '' : `code ${e.value.code}`,
    e.value.display === null ? '' : `display "${e.value.display}"`,
    e.value.online === null ? '' : e.value.online ? 'on-line' : 'off-line',
  ];
  return parts.filter((part) => part !== '').join(', ') || 'nothing that could be read';
}

function switchWords(e: SwitchEvidence): string {
  if (e.value === null) return OUTCOME_WORDS[e.outcome];
  const parts = [`port ${e.value.port}`, `link ${e.value.operStatus ?? 'state unknown'}`];
  if (e.value.macs !== undefined && e.value.macs.length > 0) parts.push(`behind it ${e.value.macs.join(', ')}`);
  if (e.value.errors !== undefined) parts.push(`${e.value.errors} errors counted`);
  return parts.join(', ');
}

/** What a job file is written in, and its size; its content is never kept. */
function jobFileWords(value: Readonly<Record<string, unknown>>): string {
  const sniffed = readSniffed(value.sniffed);
  if (sniffed === undefined) return 'nothing that could be read';
  const wrapped = sniffed.wrapper === undefined ? '' : ', wrapped in PJL';
  return `${namesOf(sniffed.language).words}${wrapped}, ${Number(value.bytes)} octets`;
}

function testPageWords({ value, at }: HistoryEvidence): string {
  const page = readTestPageRecord(value);
  if (page === undefined) return 'nothing on record';
  const seen = page.cameOut === null ? page.because : page.cameOut ? 'it came out' : 'it did not come out';
  return `by ${page.via} at ${at.slice(0, 16).replace('T', ' ')} UTC: ${seen}`;
}

function historyWords(e: HistoryEvidence): string {
  if (e.what === 'job-file') return jobFileWords(e.value ?? {});
  if (e.what === 'test-page') return testPageWords(e);
  const entries = Object.entries(e.value ?? {}).filter(([, value]) => value !== null && value !== undefined);
  if (entries.length === 0) return 'nothing on record';
  return entries
    .map(([key, value]) => `${key} ${typeof value === 'object' ? JSON.stringify(value) : value}`)
    .join(', ');
}
