import { authProtocolOf, privProtocolOf, type SecurityLevel } from '../model/snmp-security.js';
import {
  type Config,
  EVENT_KINDS,
  type PrinterSetting,
  type SecretRef,
  type SnmpSetting,
  type TellSetting,
} from './config.js';
import { durationMs } from './duration.js';
import type { ConfigFile, PrinterEntry, SnmpEntry, TellEntry } from './file-schema.js';

/** What holds when the file says nothing. Durations as the file would write them. */
const DEFAULTS = { sweepEvery: '6h', readEvery: '5m', readInFault: '1m', keep: '400d', reportMaxAge: '2h' } as const;
const DEFAULT_STORE = 'sqlite:outfeed.db';
const DEFAULT_LISTEN = '127.0.0.1:6310';
const TRAP_LISTEN = '0.0.0.0:162';
const MAIL_PER_HOUR = 20;

/** Fills in the defaults of a file that has passed its schema and its rules. */
export function filledIn(file: ConfigFile, folder: string | null): Config {
  return {
    folder,
    site: file.site ?? {},
    sweep: {
      ranges: file.sweep?.ranges ?? [],
      everyMs: milliseconds(file.sweep?.every, DEFAULTS.sweepEvery),
      pace: file.sweep?.pace ?? 'gentle',
    },
    snmp: (file.snmp ?? []).map(snmpSetting),
    read: readSetting(file.read),
    printers: (file.printers ?? []).map(printerSetting),
    store: {
      url: secretRef(file.store?.urlFile, file.store?.urlEnv) ?? file.store?.url ?? DEFAULT_STORE,
      keepMs: milliseconds(file.store?.keep, DEFAULTS.keep),
    },
    page: pageSetting(file.page),
    ...(file.traps === undefined ? {} : { traps: { listen: file.traps.listen ?? TRAP_LISTEN } }),
    ...(file.reports === undefined
      ? {}
      : {
          reports: {
            folder: file.reports.folder,
            maxAgeMs: milliseconds(file.reports.maxAge, DEFAULTS.reportMaxAge),
          },
        }),
    tell: (file.tell ?? []).map(tellSetting),
    allowPublic: file.allowPublic ?? false,
  };
}

function pageSetting(page: ConfigFile['page']): Config['page'] {
  const token = secretRef(page?.tokenFile, page?.tokenEnv);
  const { certFile, keyFile, hosts = [] } = page ?? {};
  return {
    listen: page?.listen ?? DEFAULT_LISTEN,
    hosts,
    ...(token === undefined ? {} : { token }),
    ...(certFile === undefined || keyFile === undefined ? {} : { tls: { certFile, keyFile } }),
  };
}

function milliseconds(text: string | undefined, otherwise: string): number {
  return durationMs(text ?? otherwise) ?? 0;
}

function readSetting(read: ConfigFile['read']): Config['read'] {
  return {
    everyMs: milliseconds(read?.every, DEFAULTS.readEvery),
    inFaultMs: milliseconds(read?.inFault, DEFAULTS.readInFault),
    ...(read?.timeout === undefined ? {} : { timeoutMs: milliseconds(read.timeout, read.timeout) }),
    ...(read?.retries === undefined ? {} : { retries: read.retries }),
  };
}

function secretRef(file: string | undefined, env: string | undefined): SecretRef | undefined {
  if (file !== undefined) return { file };
  return env === undefined ? undefined : { env };
}

function snmpSetting(entry: SnmpEntry): SnmpSetting {
  const version = String(entry.version) as SnmpSetting['version'];
  if (version !== '3') {
    return { version, community: secretRef(entry.communityFile, entry.communityEnv) ?? entry.community ?? '' };
  }
  const authKey = secretRef(entry.authKeyFile, entry.authKeyEnv);
  const privKey = secretRef(entry.privKeyFile, entry.privKeyEnv);
  const implied: SecurityLevel = privKey ? 'authPriv' : authKey ? 'authNoPriv' : 'noAuthNoPriv';
  return {
    version,
    user: entry.user ?? '',
    level: entry.level ?? implied,
    ...(authKey ? { authKey, authProtocol: authProtocolOf(entry.authProtocol ?? 'SHA-256') ?? 'SHA-256' } : {}),
    ...(privKey ? { privKey, privProtocol: privProtocolOf(entry.privProtocol ?? 'AES-128') ?? 'AES-128' } : {}),
    ...(entry.context === undefined ? {} : { context: entry.context }),
  };
}

function printerSetting(entry: PrinterEntry): PrinterSetting {
  const { queues, pjl, subscribe, uuid, mac, ...rest } = entry;
  return {
    ...rest,
    queues: queues ?? [],
    pjl: pjl ?? false,
    subscribe: subscribe ?? false,
    ...(uuid === undefined ? {} : { uuid: uuid.toLowerCase().replace('urn:uuid:', '') }),
    ...(mac === undefined ? {} : { mac: mac.toLowerCase().replaceAll('-', ':') }),
  };
}

function tellSetting(entry: TellEntry): TellSetting {
  const { when, quiet, perHour } = entry;
  const limit = perHour ?? (entry.mail === undefined ? undefined : MAIL_PER_HOUR);
  return {
    to: teller(entry),
    when: when ?? EVENT_KINDS,
    ...(quiet === undefined ? {} : { quiet }),
    ...(limit === undefined ? {} : { perHour: limit }),
  };
}

function teller({ webhook, mail, command }: TellEntry): TellSetting['to'] {
  if (webhook !== undefined) {
    const secret = secretRef(webhook.secretFile, webhook.secretEnv);
    return { kind: 'webhook', url: webhook.url, ...(secret ? { secret } : {}) };
  }
  if (mail !== undefined) {
    const user = secretRef(mail.userFile, mail.userEnv);
    const password = secretRef(mail.passwordFile, mail.passwordEnv);
    const signIn = { ...(user ? { user } : {}), ...(password ? { password } : {}) };
    return { kind: 'mail', smtp: mail.smtp, from: mail.from, to: mail.to, ...signIn };
  }
  return { kind: 'command', run: command?.run ?? '', args: command?.args ?? [] };
}
