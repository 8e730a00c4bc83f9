import { type Command, Option } from 'commander';
import { PACES, type Pace } from '../config/config.js';
import type { SnmpVersion } from '../model/evidence.js';
import { ProgramProblem } from '../model/problem.js';
import {
  AUTH_PROTOCOLS,
  type AuthProtocol,
  authProtocolOf,
  PRIV_PROTOCOLS,
  type PrivProtocol,
  privProtocolOf,
} from '../model/snmp-security.js';
import { forTerminal } from '../render/escape.js';
import { PACE_WORDS } from '../sweep/pace.js';

/** The options that several commands share (contract section 1), checked and typed. Absent ones are left out. */
export interface CommonOptions {
  /** Path of the configuration file, as given. */
  readonly config?: string;
  readonly json: boolean;
  readonly quiet: boolean;
  readonly verbose: boolean;
  /** False after `--no-color`. */
  readonly color: boolean;
  /** SNMP v1 and v2c communities, in the order given. */
  readonly communities: readonly string[];
  readonly snmpVersion?: SnmpVersion;
  readonly snmpUser?: string;
  readonly authProtocol?: AuthProtocol;
  readonly authKeyFile?: string;
  readonly privProtocol?: PrivProtocol;
  readonly privKeyFile?: string;
  readonly snmpPort?: number;
  readonly ippUri?: string;
  /** Print queues on the way to the printer. */
  readonly queues: readonly string[];
  /** The user whose access is checked. */
  readonly user?: string;
  /** Milliseconds for one answer. */
  readonly timeoutMs?: number;
  readonly retries?: number;
  /** Job file whose language is compared. */
  readonly file?: string;
  /** How hard a sweep goes about it. */
  readonly pace?: Pace;
  /** Milliseconds that a sweep listens for announcements. */
  readonly listenMs?: number;
  readonly yesLarge: boolean;
  readonly allowPublic: boolean;
}

/** Groups of options that a command may take. Every command has `output`. */
export type OptionGroup = 'output' | 'snmp' | 'printer' | 'pace' | 'job' | 'sweep';

/** Adds groups of common options to a command. */
export function addCommonOptions(command: Command, groups: readonly OptionGroup[]): Command {
  for (const group of groups) for (const option of OPTIONS[group]()) command.addOption(option);
  return command;
}

/** Reads what commander gathered. Everything was checked while parsing, this only names and types it. */
export function commonOptions(parsed: Readonly<Record<string, unknown>>): CommonOptions {
  const { community, queue, timeout, listen, json, quiet, verbose, color, yesLarge, allowPublic, ...rest } = parsed;
  const given = Object.fromEntries(
    NAMED.filter((name) => rest[name] !== undefined).map((name) => [name, rest[name]]),
  ) as Partial<CommonOptions>;
  return {
    ...given,
    ...(timeout === undefined ? {} : { timeoutMs: timeout as number }),
    ...(listen === undefined ? {} : { listenMs: listen as number }),
    communities: (community as string[] | undefined) ?? [],
    queues: (queue as string[] | undefined) ?? [],
    json: json === true,
    quiet: quiet === true,
    verbose: verbose === true,
    color: color !== false,
    yesLarge: yesLarge === true,
    allowPublic: allowPublic === true,
  };
}

const NAMED = [
  'config',
  'snmpVersion',
  'snmpUser',
  'authProtocol',
  'authKeyFile',
  'privProtocol',
  'privKeyFile',
  'snmpPort',
  'ippUri',
  'user',
  'retries',
  'file',
  'pace',
] as const satisfies readonly (keyof CommonOptions)[];

const OPTIONS: Readonly<Record<OptionGroup, () => readonly Option[]>> = {
  output: () => [
    option(
      'Output:',
      '--config <file>',
      'configuration file (default: ./outfeed.yaml, then the one in the home folder)',
    ),
    option('Output:', '--json', 'exactly one JSON document on stdout'),
    option('Output:', '-q, --quiet', 'no progress and no remarks on stderr'),
    option('Output:', '-v, --verbose', 'tell on stderr what is being done'),
    option('Output:', '--no-color', 'no colours (NO_COLOR in the environment says the same)'),
  ],
  snmp: () => [
    option('SNMP:', '--community <word>', 'SNMP v1/v2c community, may repeat (or OUTFEED_COMMUNITY)', repeated),
    option('SNMP:', '--snmp-version <version>', '1, 2c or 3 only (default: what the credentials allow)', snmpVersion),
    option('SNMP:', '--snmp-user <name>', 'SNMP v3 user'),
    option('SNMP:', '--auth-protocol <name>', `${AUTH_PROTOCOLS.join(', ')} (default: SHA-256)`, authProtocol),
    option('SNMP:', '--auth-key-file <file>', 'file with the v3 authentication key (or OUTFEED_AUTH_KEY)'),
    option('SNMP:', '--priv-protocol <name>', `${PRIV_PROTOCOLS.join(', ')} (default: AES-128)`, privProtocol),
    option('SNMP:', '--priv-key-file <file>', 'file with the v3 privacy key (or OUTFEED_PRIV_KEY)'),
    option('SNMP:', '--snmp-port <n>', 'UDP port of the SNMP agent (default: 161)', whole('--snmp-port', 1, 65_535)),
  ],
  printer: () => [
    option('Printer:', '--ipp-uri <uri>', 'where the printer speaks IPP (default: found out)'),
    option('Printer:', '--queue <uri>', 'print queue on the way to the printer, may repeat', repeated),
    option('Printer:', '--user <name>', 'user whose access is checked'),
  ],
  pace: () => [
    option('Pace:', '--timeout <ms>', 'milliseconds to wait for one answer', whole('--timeout', 1, 600_000)),
    option('Pace:', '--retries <n>', 'how often a lost question is asked again', whole('--retries', 0, 10)),
  ],
  job: () => [option('Job:', '--file <job>', 'job file whose language is compared with what the printer takes')],
  sweep: () => [
    option('Sweep:', '--pace <pace>', `${Object.values(PACE_WORDS).join('; ')}`, pace),
    option(
      'Sweep:',
      '--listen <ms>',
      'milliseconds to listen for announcements (default: as the pace says; 0: not at all)',
      whole('--listen', 0, 600_000),
    ),
    option('Sweep:', '--yes-large', 'sweep ranges of more than 65,536 addresses too'),
    option('Sweep:', '--allow-public', 'sweep public addresses too'),
  ],
};

function option(group: string, flags: string, says: string, read?: Reader): Option {
  const made = new Option(flags, says).helpGroup(group);
  return read === undefined ? made : made.argParser(read);
}

type Reader = (text: string, before: unknown) => unknown;

/** Gathers an option that may be given several times. */
export const repeated: Reader = (text, before) => [...((before as string[] | undefined) ?? []), text];

/** A reader of whole numbers within bounds. */
export function whole(name: string, lowest: number, highest: number): (text: string) => number {
  return (text) => {
    const value = /^\d{1,9}$/.test(text.trim()) ? Number(text) : Number.NaN;
    if (value >= lowest && value <= highest) return value;
    throw badOption(name, `a whole number from ${lowest} to ${highest}`, text);
  };
}

const snmpVersion: Reader = (text) => {
  const bare = text.trim().toLowerCase().replace(/^v/, '');
  if (bare === '1' || bare === '3') return bare;
  if (bare === '2' || bare === '2c') return '2c';
  throw badOption('--snmp-version', '1, 2c or 3', text);
};

const authProtocol: Reader = (text) => {
  const found = authProtocolOf(text);
  if (found === undefined) throw badOption('--auth-protocol', oneOf(AUTH_PROTOCOLS), text);
  return found;
};

const privProtocol: Reader = (text) => {
  const found = privProtocolOf(text);
  if (found === undefined) throw badOption('--priv-protocol', oneOf(PRIV_PROTOCOLS), text);
  return found;
};

const pace: Reader = (text) => {
  const found = PACES.find((name) => name === text.trim().toLowerCase());
  if (found === undefined) throw badOption('--pace', oneOf(PACES), text);
  return found;
};

function oneOf(names: readonly string[]): string {
  return `${names.slice(0, -1).join(', ')} or ${names.at(-1)}`;
}

/** Refuses options that do nothing without another: whoever gives them believes that they were heeded. */
export function refuseAlone(given: Readonly<Record<string, unknown>>, names: readonly string[], needed: string): void {
  const idle = given[needed] === undefined ? names.find((name) => given[name] !== undefined) : undefined;
  if (idle !== undefined)
    throw new ProgramProblem('option-needs', `${flagOf(idle)} does nothing without ${flagOf(needed)}.`);
}

/** Refuses options that another leaves without use. */
export function refuseBeside(given: Readonly<Record<string, unknown>>, names: readonly string[], other: string): void {
  const idle = given[other] === undefined ? undefined : names.find((name) => given[name] !== undefined);
  if (idle !== undefined)
    throw new ProgramProblem(
      'option-needs',
      `${flagOf(idle)} does nothing beside ${flagOf(other)}; leave one of them out.`,
    );
}

function flagOf(name: string): string {
  return `--${name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)}`;
}

/** The one sentence for an option with a value that can't be. */
export function badOption(name: string, takes: string, got: string): ProgramProblem {
  return new ProgramProblem('option-value', `${name} takes ${takes}, not "${forTerminal(got, 60)}".`);
}
