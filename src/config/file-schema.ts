import * as z from 'zod';
import { readHost } from '../model/host.js';
import {
  AUTH_PROTOCOLS,
  authProtocolOf,
  PRIV_PROTOCOLS,
  privProtocolOf,
  SECURITY_LEVELS,
} from '../model/snmp-security.js';
import { readDeviceUri } from '../model/uri.js';
import { EVENT_KINDS, PACES } from './config.js';
import { DURATION, durationMs } from './duration.js';
import { readClockSpan, readOfficeHours } from './hours.js';

/** The shape of the configuration file as it is written (contract section 8). Each message ends the sentence "KEY …". */

const text = (takes: string, max = 500) => z.string(takes).min(1, takes).max(max, takes);
const whole = (from: number, to: number) => {
  const takes = `takes a whole number from ${from} to ${to}`;
  return z.int(takes).min(from, takes).max(to, takes);
};
const port = () => whole(1, 65_535);
const oneOf = <const T extends readonly string[]>(words: T) => z.enum(words, `takes one of ${words.join(', ')}`);
const yesNo = z.boolean('takes true or false');
const duration = z
  .string('takes a duration such as 90s, 5m, 6h or 30d')
  .regex(DURATION, { error: 'takes a duration such as 90s, 5m, 6h or 30d', abort: true })
  .refine((value) => durationMs(value) !== undefined, 'takes a duration above nothing, such as 90s');
const path = text('takes the path of a file', 4096);
const variable = z
  .string('takes the name of an environment variable')
  .regex(/^[A-Za-z_][A-Za-z0-9_]*$/, 'takes the name of an environment variable');
const listen = z
  .string('takes an address and a port, such as "127.0.0.1:6310"')
  .regex(/^(\[[0-9A-Fa-f:.]+\]|[^\s:[\]]+):\d{1,5}$/, 'takes an address and a port, such as "127.0.0.1:6310"');

const hostName = z.string('takes an address or a host name').check((check) => {
  const reading = readHost(check.value);
  if ('wrong' in reading) check.issues.push({ code: 'custom', input: check.value, message: `: ${reading.wrong}` });
});
const deviceUri = z.string('takes a URI such as "ipp://192.0.2.21/ipp/print"').check((check) => {
  const reading = readDeviceUri(check.value);
  if ('wrong' in reading) check.issues.push({ code: 'custom', input: check.value, message: `: ${reading.wrong}` });
});
const webUri = z.string('takes an http or https URI').regex(/^https?:\/\/[^\s/]+/, 'takes an http or https URI');
const block = <T extends z.core.$ZodShape>(shape: T) => z.strictObject(shape, 'takes a block of keys and values');
const list = <T extends z.ZodType>(of: T) => z.array(of, 'takes a list');

const snmp = block({
  version: z.union([z.literal('1'), z.literal(1), z.literal('2c'), z.literal('3'), z.literal(3)], 'takes 1, 2c or 3'),
  community: text('takes a community, a word').exactOptional(),
  communityFile: path.exactOptional(),
  communityEnv: variable.exactOptional(),
  user: text('takes the name of an SNMP v3 user').exactOptional(),
  level: oneOf(SECURITY_LEVELS).exactOptional(),
  authProtocol: z
    .string()
    .refine((value) => authProtocolOf(value) !== undefined, `takes one of ${AUTH_PROTOCOLS.join(', ')}`)
    .exactOptional(),
  authKeyFile: path.exactOptional(),
  authKeyEnv: variable.exactOptional(),
  privProtocol: z
    .string()
    .refine((value) => privProtocolOf(value) !== undefined, `takes one of ${PRIV_PROTOCOLS.join(', ')}`)
    .exactOptional(),
  privKeyFile: path.exactOptional(),
  privKeyEnv: variable.exactOptional(),
  context: text('takes an SNMP v3 context name').exactOptional(),
});

const printer = block({
  name: z
    .string('takes a name')
    .regex(
      /^[^\s#/:\p{Cc}\p{Cf}]{1,100}$/u,
      'takes a name without spaces, slashes, colons or #, at most 100 characters',
    ),
  address: hostName,
  deviceIndex: whole(1, 2_147_483_647).exactOptional(),
  snmpPort: port().exactOptional(),
  ippUri: deviceUri.exactOptional(),
  rawPort: port().exactOptional(),
  lpdPort: port().exactOptional(),
  queues: list(deviceUri).exactOptional(),
  serial: text('takes the serial number as text (put it in quotation marks)').exactOptional(),
  uuid: z
    .string()
    .regex(/^(urn:uuid:)?[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/i, 'takes a UUID')
    .exactOptional(),
  mac: z
    .string('takes a hardware address such as "02:00:00:00:00:15"')
    .regex(/^[0-9a-f]{2}([:-][0-9a-f]{2}){5}$/i, 'takes a hardware address such as "02:00:00:00:00:15"')
    .exactOptional(),
  model: path.exactOptional(),
  switch: block({ address: hostName, port: whole(1, 2_147_483_647), snmpPort: port().exactOptional() }).exactOptional(),
  pjl: yesNo.exactOptional(),
  subscribe: yesNo.exactOptional(),
  people: whole(0, 100_000).exactOptional(),
});

const tell = block({
  webhook: block({
    url: webUri,
    secretFile: path.exactOptional(),
    secretEnv: variable.exactOptional(),
  }).exactOptional(),
  mail: block({
    smtp: z.string().regex(/^smtps?:\/\/[^\s/]+/, 'takes an smtp or smtps URI such as "smtps://mail.example:465"'),
    userFile: path.exactOptional(),
    userEnv: variable.exactOptional(),
    passwordFile: path.exactOptional(),
    passwordEnv: variable.exactOptional(),
    from: text('takes a mail address'),
    to: list(text('takes a mail address')).min(1, 'takes at least one mail address'),
  }).exactOptional(),
  command: block({
    run: path,
    args: list(z.string('takes text')).exactOptional(),
  }).exactOptional(),
  when: list(oneOf(EVENT_KINDS)).min(1, 'takes at least one kind of event').exactOptional(),
  quiet: z
    .string('takes a span of the day such as "20:00-07:00"')
    .refine((value) => readClockSpan(value) !== undefined, 'takes a span of the day such as "20:00-07:00"')
    .exactOptional(),
  perHour: whole(1, 10_000).exactOptional(),
});

export const configFileSchema = block({
  site: block({
    name: text('takes the name of the site').exactOptional(),
    timezone: z
      .string('takes a time zone such as Europe/Lisbon')
      .refine(isTimezone, 'takes a time zone such as Europe/Lisbon')
      .exactOptional(),
    officeHours: z
      .string('takes hours such as "mon-fri 08:00-18:00"')
      .refine((value) => readOfficeHours(value) !== undefined, 'takes hours such as "mon-fri 08:00-18:00"')
      .exactOptional(),
  }).exactOptional(),
  sweep: block({
    ranges: list(text('takes a range such as 192.0.2.0/24')).exactOptional(),
    every: duration.exactOptional(),
    pace: oneOf(PACES).exactOptional(),
  }).exactOptional(),
  snmp: list(snmp).exactOptional(),
  read: block({
    every: duration.exactOptional(),
    inFault: duration.exactOptional(),
    timeout: duration.exactOptional(),
    retries: whole(0, 10).exactOptional(),
  }).exactOptional(),
  printers: list(printer).exactOptional(),
  store: block({
    url: z
      .string('takes a URL such as "sqlite:outfeed.db" or "postgres://…"')
      .regex(/^(sqlite:.+|postgres(ql)?:\/\/.+)/, 'takes a URL such as "sqlite:outfeed.db" or "postgres://…"')
      .exactOptional(),
    urlFile: path.exactOptional(),
    urlEnv: variable.exactOptional(),
    keep: duration.exactOptional(),
  }).exactOptional(),
  page: block({
    listen: listen.exactOptional(),
    tokenFile: path.exactOptional(),
    tokenEnv: variable.exactOptional(),
    certFile: path.exactOptional(),
    keyFile: path.exactOptional(),
    hosts: list(hostName).exactOptional(),
  }).exactOptional(),
  traps: block({ listen: listen.exactOptional() }).exactOptional(),
  reports: block({ folder: path, maxAge: duration.exactOptional() }).exactOptional(),
  tell: list(tell).exactOptional(),
  allowPublic: yesNo.exactOptional(),
});

/** The file as it is written. */
export type ConfigFile = z.infer<typeof configFileSchema>;
export type SnmpEntry = NonNullable<ConfigFile['snmp']>[number];
export type PrinterEntry = NonNullable<ConfigFile['printers']>[number];
export type TellEntry = NonNullable<ConfigFile['tell']>[number];

function isTimezone(name: string): boolean {
  try {
    return new Intl.DateTimeFormat('en', { timeZone: name }).resolvedOptions().timeZone.length > 0;
  } catch {
    return false;
  }
}
