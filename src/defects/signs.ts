import { sizeWords } from '../ladder/language/named.js';
import { type PageShape, pageRaster } from '../wire/job/page-memory.js';
import { alertSigns } from './alert-signs.js';
import { factorOf, signOf } from './beliefs.js';
import type { DeviceReading } from './device-reading.js';
import type { FoundSign } from './evidence.js';
import { adviceFor } from './paper.js';
import { type PastIncident, pastSigns } from './past-signs.js';
import { supplySigns } from './supply-signs.js';

/** What a person told of paper and room. */
export interface Told {
  readonly gsm?: number;
  readonly grain?: 'along' | 'across';
  /** Relative humidity of the room, percent. */
  readonly humidity?: number;
  /** The page that is printed, and the printer's memory in octets. */
  readonly page?: PageShape;
  readonly memoryBytes?: number;
}

/** Beyond these, in percent of humidity. ISO 187 tests paper at 50 %; the limits: common practice, no published source. */
const DAMP = 65;
const DRY = 30;
/** Pages that must fit at once: printing both sides may hold two. Common practice, no published source. */
const PAGES_AT_ONCE = 2;
const PAGES_AMPLE = 8;

const PLAIN = /^(stationery|plain|use-ready|auto|any)/i;
const HEAVY = /heavy|card|thick|cover|label/i;

/** Every sign that device and person give, in the order in which it is told. */
export function findSigns(
  device: DeviceReading | undefined,
  told: Told,
  past: readonly PastIncident[] = [],
): readonly FoundSign[] {
  const read = device === undefined ? [] : [...supplySigns(device.printer), ...alertSigns(device.printer)];
  const all = [
    ...read,
    ...pastSigns(past),
    ...memorySigns(memoryOf(device, told)),
    ...traySigns(device?.trayTypes ?? [], told),
    ...toldSigns(told),
  ];
  return all.filter(({ when }) => signOf(when) !== undefined);
}

/** Room of the page that is told, else of the printer's own paper at its own resolution; memory as told, else as read. */
function memoryOf(
  device: DeviceReading | undefined,
  told: Told,
): { readonly bytes?: number | undefined; readonly memory: number | null } {
  const bytes = told.page === undefined ? device?.pageBytes : pageRaster(told.page)?.bytes;
  return { bytes, memory: told.memoryBytes ?? device?.printer.memoryBytes ?? null };
}

function memorySigns({ bytes, memory }: ReturnType<typeof memoryOf>): readonly FoundSign[] {
  if (bytes === undefined || memory === null || memory <= 0) return [];
  const value = `at least ${sizeWords(bytes)} as dots, the printer has ${sizeWords(memory)} of memory`;
  if (memory < PAGES_AT_ONCE * bytes) return [{ when: 'memory-small', value }];
  return memory >= PAGES_AMPLE * bytes ? [{ when: 'memory-ample', value }] : [];
}

function traySigns(types: DeviceReading['trayTypes'], { gsm }: Told): readonly FoundSign[] {
  const heavy = types.find(({ type }) => HEAVY.test(type));
  if (heavy !== undefined) return [{ when: 'tray-set-heavy', part: heavy.tray, value: heavy.type }];
  const plain = types.find(({ type }) => PLAIN.test(type));
  if (plain === undefined) return [];
  if (gsm !== undefined && adviceFor(gsm).sign === 'told-heavy') {
    return [{ when: 'tray-set-plain-told-heavy', part: plain.tray, value: `${Math.round(gsm)} g/m²` }];
  }
  return types.every(({ type }) => PLAIN.test(type)) ? [{ when: 'tray-set-plain' }] : [];
}

function toldSigns({ gsm, grain, humidity }: Told): readonly FoundSign[] {
  const found: FoundSign[] = [];
  if (gsm !== undefined) found.push({ when: adviceFor(gsm).sign, value: `${Math.round(gsm)} g/m²` });
  if (grain === 'across') found.push({ when: 'told-cross-grain' });
  if (humidity !== undefined && humidity >= DAMP) found.push({ when: 'told-damp', value: `${humidity} %` });
  if (humidity !== undefined && humidity <= DRY) found.push({ when: 'told-dry', value: `${humidity} %` });
  return found;
}

/** The sentence of a sign. Names are a printer's own text: as they came, made safe where they are shown. */
export function sentenceOf(sign: FoundSign): string {
  const says = signOf(sign.when)?.says ?? sign.when;
  return says.replace(/\{(part|value)\}/g, (_all, key: 'part' | 'value') => sign[key] ?? 'it');
}

/** "(likelier ×4)", for the list of reasons of one cause; undefined when the sign leaves it alone. */
export function weightOf(sign: FoundSign, causeId: string): string | undefined {
  const factor = factorOf(sign.when, causeId);
  if (factor === 1) return undefined;
  return factor > 1 ? `${factor} times likelier` : `${Math.round((1 / factor) * 10) / 10} times less likely`;
}
