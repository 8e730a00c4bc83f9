import type {
  Alert,
  DeviceState,
  Finisher,
  Identity,
  NetworkInterface,
  Output,
  PrintPort,
  Supply,
  Tray,
} from '../model/printer.js';
import { forTerminal } from './escape.js';
import { fills } from './site-words.js';

/** The words of `show`: each gives one line without layout, every printer text escaped. */

const safe = (text: string | null | undefined, max = 120): string => forTerminal(text ?? '', max);

function joined(parts: readonly (string | null | undefined | false)[], between = ', '): string {
  return parts.filter((part) => typeof part === 'string' && part !== '').join(between);
}

/** Serial number, place and the rest of who the printer is. */
export function identityWords(identity: Identity, upTimeTicks: number | null): readonly string[] {
  return [
    joined([
      identity.serial !== null && `serial ${safe(identity.serial, 60)}`,
      identity.firmware !== null && `firmware ${safe(identity.firmware, 60)}`,
      upTimeTicks !== null && `up ${upTimeWords(upTimeTicks)}`,
    ]),
    joined([safe(identity.location), identity.contact !== null && `contact ${safe(identity.contact)}`]),
    joined([...identity.macs.map((mac) => safe(mac, 40)), identity.uuid !== null && `uuid ${safe(identity.uuid, 60)}`]),
    safe(identity.adminUrl, 200),
  ].filter((line) => line !== '');
}

/** Hundredths of a second → `10 d 2 h`, `3 h 5 min`, `4 min`. */
export function upTimeWords(ticks: number): string {
  const minutes = Math.floor(ticks / 6_000);
  const hours = Math.floor(minutes / 60);
  if (hours >= 24) return `${Math.floor(hours / 24)} d ${hours % 24} h`;
  return hours > 0 ? `${hours} h ${minutes % 60} min` : `${minutes} min`;
}

/** IPP's word first, since it knows "stopped"; then what SNMP says. */
export function stateWords(state: DeviceState): readonly string[] {
  const snmp = [state.printer, state.device].filter((word) => word !== null).join('/');
  return [
    joined([
      state.ipp ?? undefined,
      state.accepting === false && 'takes no jobs',
      snmp !== '' && (state.ipp === null ? snmp : `SNMP says ${snmp}`),
    ]),
    state.message ? `"${safe(state.message, 200)}"` : '',
    joined(
      state.reasons.map((reason) => safe(reason, 80)),
      ' ',
    ),
    state.errorBits.length > 0 ? `error bits: ${state.errorBits.map((bit) => safe(bit, 40)).join(' ')}` : '',
  ].filter((line) => line !== '');
}

/** The part, what is up with it, and in brackets the standard's words. */
export function alertWords(alert: Alert): string {
  const said = alert.description ?? alert.code;
  const standard = joined([
    said === alert.code ? null : safe(alert.code, 60),
    alert.reason !== alert.code && alert.reason !== null && safe(alert.reason, 80),
    alert.source,
  ]);
  return `${joined([safe(alert.component, 60), safe(said, 160)], ': ')} (${standard})`;
}

type Level = Pick<Supply, 'level' | 'capacity' | 'percent' | 'meaning'>;

const SPECIAL = {
  'some-left': 'some left',
  'no-limit': 'no limit',
  unknown: 'not told',
  measured: 'not told',
} as const;

/** `72 %, 180/250 sheets`, or what the printer says in place of a number. */
function levelText({ level, capacity, percent, meaning }: Level, unit: string | null): string {
  if (percent === null) return SPECIAL[meaning];
  const told = level !== null && capacity !== null && unit !== null && unit !== 'percent';
  return told ? `${percent} %, ${level}/${capacity} ${safe(unit, 30)}` : `${percent} %`;
}

/** State and level of a supply; of a container that fills, the room in it. */
export function supplyWords(supply: Supply): string {
  const state = supply.state === 'ok' || supply.state === 'unknown' ? null : supply.state.toUpperCase();
  if (!fills(supply)) return joined([state, levelText(supply, supply.unit)]);
  return joined([state, supply.percent === null ? SPECIAL[supply.meaning] : `${supply.percent} % free`]);
}

export function trayWords(tray: Tray): string {
  // Sheets are what trays hold: the word would only push the medium off the line.
  const level = levelText(tray, tray.unit).replace(/ sheets$/, '');
  return joined([tray.percent === 0 && 'EMPTY', level, safe(tray.media, 60)]);
}

/** What a stapler or puncher holds; what lies behind it in brackets. */
export function finisherWords({ present, supplies, unit, ...level }: Finisher): string {
  const held = supplies.map((supply) => `${safe(supply.name, 40)} ${levelText(supply, supply.unit)}`);
  return joined([present === false && 'not there', levelText(level, unit), joined(held)]);
}

/** `raw, port 9100` and, where jobs are not taken there, that. */
export function portWords({ name, protocol, service, port, enabled }: PrintPort): string {
  return joined([
    safe(name ?? protocol ?? 'unnamed', 60),
    name !== null && protocol !== null && safe(protocol.replace(/^ch(?=[A-Z0-9])/, ''), 40),
    port !== null && `port ${port}`,
    service !== null && safe(service, 120),
    enabled === false && 'SWITCHED OFF',
  ]);
}

/** `eth0, up, 100 Mbit/s, 12 errors in, 0 out`. */
export function interfaceWords({ name, up, megabits, inErrors, outErrors }: NetworkInterface): string {
  return joined([
    safe(name ?? 'unnamed', 60),
    up !== null && (up ? 'up' : 'down'),
    megabits !== null && `${megabits} Mbit/s`,
    inErrors !== null && `${inErrors} errors in`,
    outErrors !== null && `${outErrors} errors out`,
  ]);
}

export function outputWords({ percent, meaning }: Output): string {
  if (percent === null) return SPECIAL[meaning];
  return percent === 0 ? 'FULL' : `${percent} % free`;
}

/** `langPostScript` → `PostScript`; what no registry names stays as it is. */
export function languageWords(languages: readonly string[]): string {
  return languages.map((name) => safe(name.replace(/^lang(?=[A-Z0-9])/, ''), 40)).join(', ');
}
