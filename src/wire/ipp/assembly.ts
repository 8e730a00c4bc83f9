import type { Buffer } from 'node:buffer';
import type { IppValue } from '../../model/evidence.js';
import { GROUP_TAG_NAMES } from '../../registry/ipp.generated.js';
import type { IppGroup } from './message.js';
import { charsetOf, readText, type TextReading } from './text.js';
import { hexNumber, readValue } from './values.js';

const OPERATION_GROUP = 0x01;
const BEG_COLLECTION = 0x34;
const END_COLLECTION = 0x37;
const MEMBER_NAME = 0x4a;
/** Characters of an attribute name (RFC 8011 5.1.4: keyword), capitals too, which are seen. */
const PLAIN_NAME = /^[A-Za-z0-9._-]+$/;

type Attributes = Record<string, IppValue[]>;

interface OpenCollection {
  readonly members: Attributes;
  /** Values of the member that was named last. */
  values: IppValue[] | undefined;
}

/** One name-and-value part as it stands on the wire (RFC 8010 3.1.4 to 3.1.7). */
export interface Part {
  readonly tag: number;
  readonly name: Buffer;
  readonly value: Buffer;
}

/**
 * Puts the parts of a message together: groups, sets of values, collections inside collections. A collection is joined
 * to its parent when it opens, so one that is never closed keeps what it has; a stack stands in for recursion, so that
 * no depth can overflow the program's own. Attribute records have no prototype: any name is a plain key.
 */
export class Assembly {
  readonly groups: { tag: string; attributes: Attributes }[] = [];
  /** Name of the attribute being read, for problems. */
  at = 'the first attribute';
  #values: IppValue[] | undefined;
  readonly #open: OpenCollection[] = [];
  /** Depth below the deepest collection that is kept. */
  #skipped = 0;
  #reading: TextReading;
  readonly #maxDepth: number;

  constructor(reading: TextReading, maxDepth: number) {
    this.#reading = reading;
    this.#maxDepth = maxDepth;
  }

  group(tag: number): void {
    this.close();
    const name = GROUP_TAG_NAMES[tag];
    if (name === undefined) this.#reading.log.add('group-tag-unknown', hexNumber(tag, 2));
    this.#values = undefined;
    this.groups.push({ tag: name ?? hexNumber(tag, 2), attributes: emptyAttributes() });
  }

  part(part: Part): void {
    if (part.name.length > 0) this.#named(part);
    else if (this.#open.length > 0) this.#inCollection(part);
    else this.#furtherValue(part);
  }

  /** The end of a group or of the message: whatever is still open ends here. */
  close(): void {
    if (this.#open.length > 0) this.#reading.log.add('collection-open', this.at);
    this.#open.length = 0;
    this.#skipped = 0;
  }

  finished(): IppGroup[] {
    this.close();
    return this.groups;
  }

  #named(part: Part): void {
    const belongsInside = part.tag === MEMBER_NAME || part.tag === END_COLLECTION;
    if (belongsInside) {
      this.#reading.log.add('member-tag-named', this.at);
      this.part({ ...part, name: part.name.subarray(0, 0) });
      return;
    }
    this.close();
    this.at = readText(part.name, 'an attribute name', this.#reading);
    if (!PLAIN_NAME.test(this.at)) this.#reading.log.add('name-not-printable', this.at);
    const group = this.#currentGroup();
    if (group.attributes[this.at] !== undefined) this.#reading.log.add('attribute-repeated', this.at);
    this.#values = valuesOf(group.attributes, this.at);
    this.#addValue(this.#values, part);
    this.#noteCharset();
  }

  #currentGroup(): { attributes: Attributes } {
    const last = this.groups.at(-1);
    if (last !== undefined) return last;
    this.#reading.log.add('attribute-outside-group', this.at);
    const implied = { tag: GROUP_TAG_NAMES[OPERATION_GROUP] ?? '', attributes: emptyAttributes() };
    this.groups.push(implied);
    return implied;
  }

  #furtherValue(part: Part): void {
    if (part.tag === END_COLLECTION) this.#reading.log.add('collection-end-stray', this.at);
    else if (part.tag === MEMBER_NAME) this.#reading.log.add('member-name-stray', this.at);
    else if (this.#values === undefined) this.#reading.log.add('value-without-attribute');
    else this.#addValue(this.#values, part);
  }

  #inCollection(part: Part): void {
    if (this.#skipped > 0) {
      if (part.tag === BEG_COLLECTION) this.#skipped += 1;
      if (part.tag === END_COLLECTION) this.#skipped -= 1;
      return;
    }
    const inner = this.#open.at(-1);
    if (inner === undefined) return;
    if (part.tag === END_COLLECTION || part.tag === MEMBER_NAME) this.#endMember(inner);
    if (part.tag === END_COLLECTION) this.#open.pop();
    else if (part.tag === MEMBER_NAME) this.#startMember(inner, part.value);
    else if (inner.values === undefined) this.#valueWithoutMember(part);
    else this.#addValue(inner.values, part);
  }

  #startMember(collection: OpenCollection, octets: Buffer): void {
    const name = readText(octets, this.at, this.#reading);
    if (collection.members[name] !== undefined) this.#reading.log.add('member-repeated', this.at);
    collection.values = valuesOf(collection.members, name);
  }

  #endMember(collection: OpenCollection): void {
    if (collection.values?.length === 0) this.#reading.log.add('member-without-value', this.at);
    collection.values = undefined;
  }

  /** A collection without a name must still be followed to its end, or its parts would be taken for the outer one's. */
  #valueWithoutMember(part: Part): void {
    this.#reading.log.add('member-without-name', this.at);
    if (part.tag === BEG_COLLECTION) this.#skipped += 1;
  }

  #addValue(values: IppValue[], part: Part): void {
    if (part.tag !== BEG_COLLECTION) {
      values.push(readValue(part.tag, part.value, this.at, this.#reading));
      return;
    }
    if (part.value.length > 0) this.#reading.log.add('collection-filled', this.at);
    if (this.#open.length >= this.#maxDepth) {
      this.#reading.log.add('collection-too-deep', this.at);
      this.#skipped += 1;
      return;
    }
    const members = emptyAttributes();
    values.push({ tag: 'begCollection', value: { members } });
    this.#open.push({ members, values: undefined });
  }

  /** RFC 8010 4.1.4 puts attributes-charset first, so that all text after it can be read. */
  #noteCharset(): void {
    if (this.at !== 'attributes-charset' || this.groups.length !== 1) return;
    const value = this.#values?.[0]?.value;
    if (typeof value === 'string') this.#reading = { ...this.#reading, charset: charsetOf(value, this.#reading.log) };
  }
}

function emptyAttributes(): Attributes {
  return Object.create(null) as Attributes;
}

function valuesOf(attributes: Attributes, name: string): IppValue[] {
  const known = attributes[name];
  if (known !== undefined) return known;
  const fresh: IppValue[] = [];
  attributes[name] = fresh;
  return fresh;
}
