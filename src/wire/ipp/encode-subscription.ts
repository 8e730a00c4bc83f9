import { Buffer } from 'node:buffer';

/** What a subscription asks for (RFC 3995 section 5.3). */
export interface SubscriptionWish {
  /** notify-events: keywords. */
  readonly events: readonly string[];
  /** notify-lease-duration. */
  readonly leaseSeconds: number;
}

/** RFC 8010 3.5.1 and RFC 3995 section 9 (group), RFC 8010 3.5.2 (values). */
const END = 0x03;
const SUBSCRIPTION = 0x06;
const INTEGER = 0x21;
const KEYWORD = 0x44;

/**
 * Adds to an encoded request what the npm package has no syntax for: operation attributes of one integer each, and a
 * group of subscription attributes, pulled with Get-Notifications (`ippget`, RFC 3996). `octets` ends with its operation group.
 */
export function withMore(
  octets: Buffer,
  { integers = {}, wish }: { readonly integers?: Readonly<Record<string, number>>; readonly wish?: SubscriptionWish },
): Buffer {
  const open = octets.subarray(0, -1);
  const operation = Object.entries(integers).map(([name, value]) => integer(name, value));
  const group = wish === undefined ? [] : [Buffer.of(SUBSCRIPTION), ...subscription(wish)];
  return Buffer.concat([open, ...operation, ...group, Buffer.of(END)]);
}

function subscription({ events, leaseSeconds }: SubscriptionWish): readonly Buffer[] {
  return [
    attribute(KEYWORD, 'notify-pull-method', Buffer.from('ippget', 'ascii')),
    ...events.map((event, at) => attribute(KEYWORD, at === 0 ? 'notify-events' : '', Buffer.from(event, 'ascii'))),
    integer('notify-lease-duration', leaseSeconds),
  ];
}

function integer(name: string, value: number): Buffer {
  const octets = Buffer.alloc(4);
  octets.writeInt32BE(value);
  return attribute(INTEGER, name, octets);
}

/** RFC 8010 3.1.4 and 3.1.5: a further value of the same attribute has an empty name. */
function attribute(tag: number, name: string, value: Buffer): Buffer {
  const head = Buffer.alloc(3);
  head.writeUInt8(tag);
  head.writeUInt16BE(name.length, 1);
  const length = Buffer.alloc(2);
  length.writeUInt16BE(value.length);
  return Buffer.concat([head, Buffer.from(name, 'ascii'), length, value]);
}
