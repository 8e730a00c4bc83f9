import { EVENT_KINDS, type EventKind } from '../model/event.js';
import type { AuthProtocol, PrivProtocol, SecurityLevel } from '../model/snmp-security.js';

/** Where a secret is kept. The configuration itself holds none, except a community, which is none worth the name. */
export type SecretRef = { readonly file: string } | { readonly env: string };

export type SnmpSetting =
  | { readonly version: '1' | '2c'; readonly community: string | SecretRef }
  | {
      readonly version: '3';
      readonly user: string;
      readonly level: SecurityLevel;
      readonly authProtocol?: AuthProtocol;
      readonly authKey?: SecretRef;
      readonly privProtocol?: PrivProtocol;
      readonly privKey?: SecretRef;
      readonly context?: string;
    };

export interface PrinterSetting {
  readonly name: string;
  readonly address: string;
  readonly deviceIndex?: number;
  readonly snmpPort?: number;
  readonly ippUri?: string;
  readonly rawPort?: number;
  readonly lpdPort?: number;
  readonly queues: readonly string[];
  /** Identity expected at this address. */
  readonly serial?: string;
  /** Lower case, without `urn:uuid:`. */
  readonly uuid?: string;
  /** Lower case, colons. */
  readonly mac?: string;
  /** Path of a model file, as written. */
  readonly model?: string;
  readonly switch?: { readonly address: string; readonly port: number; readonly snmpPort?: number };
  /** Whether the printer may be asked for its status over the raw port. */
  readonly pjl: boolean;
  /** Whether the agent may keep an IPP subscription at the printer's queues, so that they tell what happens to them. */
  readonly subscribe: boolean;
  /** How many people print here. */
  readonly people?: number;
}

export { EVENT_KINDS, type EventKind };

export interface TellSetting {
  readonly to:
    | { readonly kind: 'webhook'; readonly url: string; readonly secret?: SecretRef }
    | {
        readonly kind: 'mail';
        readonly smtp: string;
        readonly user?: SecretRef;
        readonly password?: SecretRef;
        readonly from: string;
        readonly to: readonly string[];
      }
    | { readonly kind: 'command'; readonly run: string; readonly args: readonly string[] };
  readonly when: readonly EventKind[];
  /** `20:00-07:00`. */
  readonly quiet?: string;
  readonly perHour?: number;
}

export const PACES = ['gentle', 'steady', 'brisk'] as const;
export type Pace = (typeof PACES)[number];

/** The configuration, defaults filled in, durations in milliseconds. Paths are as written: relative to `folder`. */
export interface Config {
  /** Folder of the file: what relative paths start from. Null when there is no file. */
  readonly folder: string | null;
  readonly site: { readonly name?: string; readonly timezone?: string; readonly officeHours?: string };
  readonly sweep: { readonly ranges: readonly string[]; readonly everyMs: number; readonly pace: Pace };
  /** Tried in this order. Empty: not stated. */
  readonly snmp: readonly SnmpSetting[];
  readonly read: {
    readonly everyMs: number;
    readonly inFaultMs: number;
    readonly timeoutMs?: number;
    readonly retries?: number;
  };
  readonly printers: readonly PrinterSetting[];
  readonly store: { readonly url: string | SecretRef; readonly keepMs: number };
  readonly page: {
    readonly listen: string;
    readonly token?: SecretRef;
    /** Absent: plain HTTP. PEM files. */
    readonly tls?: { readonly certFile: string; readonly keyFile: string };
    /** Further names by which this machine may be asked. */
    readonly hosts: readonly string[];
  };
  /** Absent: no traps are listened for. */
  readonly traps?: { readonly listen: string };
  /** Absent: no reports of print hosts are looked for. */
  readonly reports?: { readonly folder: string; readonly maxAgeMs: number };
  readonly tell: readonly TellSetting[];
  readonly allowPublic: boolean;
}

/** One mistake in a configuration file. `line` and `column` count from 1. */
export interface ConfigProblem {
  readonly line: number;
  readonly column: number;
  /** One sentence: what is wrong and what belongs there. */
  readonly text: string;
}
