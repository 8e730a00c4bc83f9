/** printer-input-tray and printer-output-tray (PWG 5100.13), with what media-col-ready and media-ready say is loaded. */
import type { IppAttributes } from '../../model/evidence.js';
import type { Cover, Output, Tray } from '../../model/printer.js';
import { ENUMS } from '../../registry/enums.generated.js';
import { collections, firstNumber, firstText, texts } from './ipp-values.js';
import { type KeyValues, keyInteger, readKeyValues } from './key-values.js';
import { findLabel } from './labels.js';
import { type Note, readLevel } from './levels.js';
import { mediaNameOfDims, mediaNameOfSize } from './media.js';

/** `Tray 1`, `tray-1` and `TRAY_1` are one name. */
export function plainName(name: string): string {
  return name.toLowerCase().replace(/[^\p{L}\p{N}]/gu, '');
}

function mediaOfCollection(members: IppAttributes): string | null {
  const named = firstText(members, 'media-size-name') ?? firstText(members, 'media-key');
  const [size] = collections(members, 'media-size');
  const x = size === undefined ? null : firstNumber(size, 'x-dimension');
  const y = size === undefined ? null : firstNumber(size, 'y-dimension');
  return (x === null || y === null ? null : mediaNameOfSize(x, y)) ?? named;
}

/** media-source in plain form → media name, from media-col-ready. */
export function readyMedia(attributes: IppAttributes): ReadonlyMap<string, string> {
  const found = new Map<string, string>();
  for (const members of collections(attributes, 'media-col-ready')) {
    const source = firstText(members, 'media-source');
    const media = mediaOfCollection(members);
    if (source !== null && media !== null && !found.has(plainName(source))) found.set(plainName(source), media);
  }
  return found;
}

/** Dimensions without their optional unit: the one of the two units that gives a known size. */
function mediaOfDims(keys: KeyValues): string | null {
  const feed = keyInteger(keys, 'mediafeed');
  const cross = keyInteger(keys, 'mediaxfeed');
  const unit = findLabel(ENUMS.PrtMediaUnitTC, keys.values.get('dimunit'))?.number;
  if (unit !== undefined) return mediaNameOfDims(feed, cross, unit);
  return mediaNameOfDims(feed, cross, 4) ?? mediaNameOfDims(feed, cross, 3);
}

function noteDeviations(attribute: string, at: number, list: KeyValues, note: Note): void {
  if (list.deviations.length > 0)
    note(
      `${attribute} value ${at + 1} breaks its grammar (${list.deviations.join(', ')}); read by key, the first of a repeated key counts.`,
    );
}

function inputType(at: number, said: string | undefined, note: Note): string | null {
  if (said === undefined) return null;
  const type = findLabel(ENUMS.PrtInputTypeTC, said)?.name;
  if (type === undefined) note(`printer-input-tray value ${at + 1} has no input type (${said}); read as unknown.`);
  return type ?? 'unknown';
}

/** The input trays in the order they were sent; blank values are left out. */
export function readIppTrays(attributes: IppAttributes, note: Note): readonly Tray[] {
  const strings = texts(attributes, 'printer-input-tray');
  const sources = texts(attributes, 'media-source-supported');
  const ready = readyMedia(attributes);
  const list = texts(attributes, 'media-ready');
  return strings.flatMap((text, at) => {
    const keys = readKeyValues(text);
    if (text === '' || keys.values.size === 0) return [];
    noteDeviations('printer-input-tray', at, keys, note);
    const index = keyInteger(keys, 'index') ?? at + 1;
    const source = sources.length === strings.length ? sources[at] : undefined;
    const name = keys.values.get('name') || source || `Tray ${index}`;
    const unit = findLabel(ENUMS.PrtCapacityUnitTC, keys.values.get('unit'))?.name ?? null;
    const level = keyInteger(keys, 'level');
    return [
      {
        index,
        name,
        type: inputType(at, keys.values.get('type'), note),
        unit,
        ...readLevel(level, keyInteger(keys, 'maxcapacity'), unit, `Input ${index} (${name})`, note),
        media:
          keys.values.get('medianame') ||
          (ready.get(plainName(name)) ??
            (source === undefined ? undefined : ready.get(plainName(source))) ??
            mediaOfDims(keys) ??
            (list.length === strings.length ? list[at] || null : null)),
        status: keyInteger(keys, 'status'),
      },
    ];
  });
}

/** The output bins in the order they were sent; the level is the room that is left. */
export function readIppOutputs(attributes: IppAttributes, note: Note): readonly Output[] {
  const strings = texts(attributes, 'printer-output-tray');
  const bins = texts(attributes, 'output-bin-supported');
  return strings.flatMap((text, at) => {
    const keys = readKeyValues(text);
    if (text === '' || keys.values.size === 0) return [];
    noteDeviations('printer-output-tray', at, keys, note);
    const index = keyInteger(keys, 'index') ?? at + 1;
    const name = keys.values.get('name') || (bins.length === strings.length && bins[at]) || `Output ${index}`;
    const unit = findLabel(ENUMS.PrtCapacityUnitTC, keys.values.get('unit'))?.name ?? null;
    const room = keyInteger(keys, 'remaining') ?? keyInteger(keys, 'level');
    return [
      {
        index,
        name,
        ...readLevel(room, keyInteger(keys, 'maxcapacity'), unit, `Output ${index} (${name})`, note),
        status: keyInteger(keys, 'status'),
      },
    ];
  });
}

/** Covers of printer-cover (PWG registration of 2021; its keys from memory): `status`, or a bare cover status. */
export function readIppCovers(attributes: IppAttributes): readonly Cover[] {
  const strings = texts(attributes, 'printer-cover');
  const descriptions = texts(attributes, 'printer-cover-description');
  return strings.flatMap((text, at) => {
    const keys = readKeyValues(text);
    if (text === '') return [];
    const index = keyInteger(keys, 'index') ?? at + 1;
    const said = [keys.values.get('status'), keys.values.get('coverstatus'), ...keys.words];
    const state = said
      .map((value) => findLabel(ENUMS.PrtCoverStatusTC, value)?.name)
      .find((name) => name !== undefined);
    return [{ index, name: descriptions[at] || `Cover ${index}`, state: state ?? 'unknown' }];
  });
}
