/** Supplies over IPP: printer-supply (PWG 5100.13) first, else the marker-* lists. */
import type { IppAttributes } from '../../model/evidence.js';
import type { Supply } from '../../model/printer.js';
import { ENUMS } from '../../registry/enums.generated.js';
import { colorantName, colourOfRgb, colourWord } from './colours.js';
import { numbers, texts } from './ipp-values.js';
import { keyInteger, readKeyValues } from './key-values.js';
import { findLabel } from './labels.js';
import { type Note, readLevel } from './levels.js';
import { classOfType, supplyClass } from './snmp-supplies.js';
import { RECEPTACLE } from './supply-state.js';

type Stateless = Omit<Supply, 'state'>;

function readSupplyString(text: string, at: number, description: string, note: Note): Stateless {
  const list = readKeyValues(text);
  if (list.deviations.length > 0)
    note(`printer-supply value ${at + 1} breaks its grammar (${list.deviations.join(', ')}); read by key.`);
  const type = findLabel(ENUMS.PrtMarkerSuppliesTypeTC, list.values.get('type'))?.name ?? 'unknown';
  const unit = findLabel(ENUMS.PrtMarkerSuppliesSupplyUnitTC, list.values.get('unit'))?.name ?? null;
  const index = keyInteger(list, 'index') ?? at + 1;
  const colorant = colorantName(list.values.get('colorantname'));
  const name = description || (colorant === null ? `Supply ${index}` : `${colorant} ${type}`);
  return {
    index,
    name,
    type,
    class: supplyClass(findLabel(ENUMS.PrtMarkerSuppliesClassTC, list.values.get('class'))?.name, type),
    colour: colorant ?? colourWord(name),
    unit,
    ...readLevel(keyInteger(list, 'level'), keyInteger(list, 'maxcapacity'), unit, `Supply ${index} (${name})`, note),
  };
}

function readSupplyStrings(attributes: IppAttributes, note: Note): readonly Stateless[] {
  const strings = texts(attributes, 'printer-supply');
  const descriptions = texts(attributes, 'printer-supply-description');
  const paired = descriptions.length === strings.length;
  if (descriptions.length > 0 && !paired)
    note(
      `printer-supply has ${strings.length} values, printer-supply-description ${descriptions.length}; paired in order as far as they go.`,
    );
  return strings.flatMap((text, at) => (text === '' ? [] : [readSupplyString(text, at, descriptions[at] ?? '', note)]));
}

interface MarkerLists {
  readonly names: readonly string[];
  readonly types: readonly string[];
  readonly colours: readonly string[];
  readonly levels: readonly (number | null)[];
  readonly low: readonly (number | null)[];
  readonly high: readonly (number | null)[];
}

/** Devices were seen that call every one of several supplies black (or white): then the list says nothing. */
function usableColours(colours: readonly string[], note: Note): readonly string[] {
  if (colours.length < 2 || new Set(colours.map((colour) => colour.toLowerCase())).size > 1) return colours;
  if (!/^#[0-9a-f]{6}$/i.test(colours[0] ?? '')) return colours;
  note(`marker-colors gives ${colours[0]} for all ${colours.length} supplies; not used.`);
  return colours.map(() => '');
}

function markerLists(attributes: IppAttributes, note: Note): MarkerLists {
  return {
    names: texts(attributes, 'marker-names'),
    types: texts(attributes, 'marker-types'),
    colours: usableColours(texts(attributes, 'marker-colors'), note),
    levels: numbers(attributes, 'marker-levels'),
    low: numbers(attributes, 'marker-low-levels'),
    high: numbers(attributes, 'marker-high-levels'),
  };
}

/**
 * marker-levels of a waste container: how full it is, unless its low level is above 0 and its high level 100, which
 * only makes sense for room that shrinks. The document carries the room that is left, as RFC 3805 does.
 */
function roomLeft(lists: MarkerLists, at: number, level: number, name: string, note: Note): number {
  if ((lists.low[at] ?? 0) > 0 && lists.high[at] === 100) {
    note(`marker-levels of ${name} was read as the room that is left: ${level} percent.`);
    return level;
  }
  note(`marker-levels of ${name} was read as fill: ${level} percent full, ${100 - level} percent room.`);
  return 100 - level;
}

/** A name with a comma is one value of marker-names; a list joined into one value is taken apart only if that fits. */
function alignedNames(lists: MarkerLists, count: number, note: Note): readonly string[] {
  const [only] = lists.names;
  if (lists.names.length !== 1 || only === undefined || count <= 1) return lists.names;
  const parts = only.split(',').map((part) => part.trim());
  if (parts.length !== count) return lists.names;
  note(`marker-names came as one value with ${count} names; taken apart at its commas.`);
  return parts;
}

/** marker-levels goes up to 100, and its -1 says that there is no level to tell; "no limit" is RFC 3805's alone. */
function markerLevel(level: number | null): number | null {
  if (level === -1) return -2;
  return level !== null && level > 100 ? 100 : level;
}

function readMarkers(attributes: IppAttributes, note: Note): readonly Stateless[] {
  const lists = markerLists(attributes, note);
  const count = Math.max(lists.levels.length, lists.types.length, lists.colours.length);
  const names = alignedNames(lists, count, note);
  const lengths = [names, lists.types, lists.colours, lists.levels].map((list) => list.length).filter((n) => n > 0);
  const total = Math.max(0, ...lengths);
  if (new Set(lengths).size > 1)
    note(
      `The marker-* lists differ in length (names ${names.length}, types ${lists.types.length}, colors ${lists.colours.length}, levels ${lists.levels.length}); paired in order, what is missing is unknown.`,
    );
  return Array.from({ length: total }, (_, at) => readMarker(lists, names, at, note));
}

function readMarker(lists: MarkerLists, names: readonly string[], at: number, note: Note): Stateless {
  const type = findLabel(ENUMS.PrtMarkerSuppliesTypeTC, lists.types[at])?.name ?? 'unknown';
  const name = names[at] || `Supply ${at + 1}`;
  const receptacle = classOfType(type) === RECEPTACLE;
  const said = lists.levels[at] ?? null;
  if (said !== null && said > 100) note(`marker-levels of ${name} is ${said}; read as 100 percent.`);
  const given = markerLevel(said);
  const level = receptacle && given !== null && given >= 0 ? roomLeft(lists, at, given, name, note) : given;
  return {
    index: at + 1,
    name,
    type,
    class: classOfType(type),
    colour: colourWord(name) ?? (receptacle ? null : colourOfRgb(lists.colours[at])),
    unit: 'percent',
    ...readLevel(level, 100, 'percent', `Supply ${at + 1} (${name})`, note),
  };
}

/** The supplies in the order they were sent, without their state. */
export function readIppSupplies(attributes: IppAttributes, note: Note): readonly Stateless[] {
  const strings = readSupplyStrings(attributes, note);
  return strings.length > 0 ? strings : readMarkers(attributes, note);
}
