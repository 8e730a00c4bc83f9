import type { Config, SnmpSetting } from '../config/config.js';
import { readSecret } from '../config/load.js';
import { ProgramProblem } from '../model/problem.js';
import { type SecurityLevel, SHORTEST_KEY } from '../model/snmp-security.js';
import type { SnmpCredential } from '../net/net.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';

type SnmpOptions = Pick<
  CommonOptions,
  'communities' | 'snmpVersion' | 'snmpUser' | 'authProtocol' | 'authKeyFile' | 'privProtocol' | 'privKeyFile'
>;
type Surroundings = Pick<Io, 'env' | 'cwd'>;

/** What most devices are delivered with. Common practice, no published source. */
const CUSTOMARY = 'public';

/**
 * The SNMP credentials to try, in order: those of the command line (a v3 user first, then communities), else those of the
 * environment (OUTFEED_COMMUNITY), else those of the configuration, else the community "public" as v2c, then v1.
 * Secrets are read here and only here. ProgramProblem for what is missing, unreadable or contradictory.
 */
export async function credentialsOf(
  options: SnmpOptions,
  config: Config,
  around: Surroundings,
): Promise<readonly SnmpCredential[]> {
  const stated = await statedCredentials(options, around);
  if (stated.length > 0) return stated;
  const configured = await Promise.all(
    config.snmp.map((setting, at) => configuredCredential(setting, at, config, around)),
  );
  const known = configured.length > 0 ? configured : communityCredentials([CUSTOMARY], undefined);
  if (options.snmpVersion === undefined) return known;
  const fitting = known.filter((credential) => credential.version === options.snmpVersion);
  if (fitting.length > 0) return fitting;
  if (options.snmpVersion !== '3') return communityCredentials([CUSTOMARY], options.snmpVersion);
  throw problem('--snmp-version 3 needs --snmp-user, or an entry for version 3 in the configuration.');
}

async function statedCredentials(options: SnmpOptions, around: Surroundings): Promise<readonly SnmpCredential[]> {
  const words = communitiesOf(options, around);
  if (words.some((word) => word === '')) throw problem('--community takes a word, not nothing.');
  if (
    options.snmpVersion === '3' &&
    words.length > 0 &&
    options.snmpUser === undefined &&
    options.communities.length > 0
  ) {
    throw problem('A community belongs to SNMP 1 and 2c; --snmp-version 3 takes --snmp-user.');
  }
  if (options.snmpVersion !== undefined && options.snmpVersion !== '3' && options.snmpUser !== undefined) {
    throw problem(`--snmp-user belongs to SNMP version 3, not ${options.snmpVersion}.`);
  }
  const user = await userCredential(options, around);
  const version = options.snmpVersion === '3' ? null : options.snmpVersion;
  return [...user, ...(version === null ? [] : communityCredentials(words, version))];
}

function communitiesOf(options: SnmpOptions, { env }: Surroundings): readonly string[] {
  if (options.communities.length > 0) return options.communities;
  return env.OUTFEED_COMMUNITY ? [env.OUTFEED_COMMUNITY] : [];
}

/** Each community as v2c, then each as v1; or one of the two only. */
function communityCredentials(words: readonly string[], only: '1' | '2c' | undefined): readonly SnmpCredential[] {
  const versions = only === undefined ? (['2c', '1'] as const) : [only];
  return versions.flatMap((version) =>
    words.map((community, at) => ({
      version,
      community,
      label: community === CUSTOMARY ? `community "public"` : `community ${at + 1}`,
    })),
  );
}

async function userCredential(options: SnmpOptions, { env, cwd }: Surroundings): Promise<readonly SnmpCredential[]> {
  const { snmpUser: user, authKeyFile, privKeyFile } = options;
  if (user === undefined) {
    if (authKeyFile !== undefined) throw problem('--auth-key-file needs --snmp-user.');
    if (privKeyFile !== undefined) throw problem('--priv-key-file needs --snmp-user.');
    return [];
  }
  const authKey = await keyOf(authKeyFile, env.OUTFEED_AUTH_KEY, 'the SNMP authentication key', cwd);
  const privKey = await keyOf(privKeyFile, env.OUTFEED_PRIV_KEY, 'the SNMP privacy key', cwd);
  refuseHalves(options, authKey !== undefined, privKey !== undefined);
  return [
    {
      version: '3',
      user,
      level: levelFor(authKey, privKey),
      label: `user ${user}`,
      ...(authKey === undefined ? {} : { authKey, authProtocol: options.authProtocol ?? 'SHA-256' }),
      ...(privKey === undefined ? {} : { privKey, privProtocol: options.privProtocol ?? 'AES-128' }),
    },
  ];
}

function refuseHalves(options: SnmpOptions, hasAuth: boolean, hasPriv: boolean): void {
  if (hasPriv && !hasAuth) {
    throw problem('A privacy key needs an authentication key too: give --auth-key-file or OUTFEED_AUTH_KEY.');
  }
  if (options.authProtocol !== undefined && !hasAuth) {
    throw problem('--auth-protocol needs a key: give --auth-key-file or OUTFEED_AUTH_KEY.');
  }
  if (options.privProtocol !== undefined && !hasPriv) {
    throw problem('--priv-protocol needs a key: give --priv-key-file or OUTFEED_PRIV_KEY.');
  }
}

function levelFor(authKey: string | undefined, privKey: string | undefined): SecurityLevel {
  if (authKey === undefined) return 'noAuthNoPriv';
  return privKey === undefined ? 'authNoPriv' : 'authPriv';
}

async function keyOf(
  file: string | undefined,
  fromEnv: string | undefined,
  what: string,
  cwd: string,
): Promise<string | undefined> {
  if (file !== undefined) return longEnough(await readSecret({ file }, what, cwd, {}), what);
  return fromEnv === undefined || fromEnv === '' ? undefined : longEnough(fromEnv, what);
}

function longEnough(key: string, what: string): string {
  if (key.length >= SHORTEST_KEY) return key;
  throw problem(
    `${what.charAt(0).toUpperCase()}${what.slice(1)} is shorter than ${SHORTEST_KEY} characters, the least that SNMP v3 allows.`,
  );
}

async function configuredCredential(
  setting: SnmpSetting,
  at: number,
  { folder }: Config,
  { env, cwd }: Surroundings,
): Promise<SnmpCredential> {
  const from = folder ?? cwd;
  if (setting.version !== '3') {
    const { version, community } = setting;
    const word =
      typeof community === 'string' ? community : await readSecret(community, 'the SNMP community', from, env);
    return {
      version,
      community: word,
      label: word === CUSTOMARY ? `community "public"` : `community of snmp entry ${at + 1}`,
    };
  }
  const { authKey, privKey, ...rest } = setting;
  const auth =
    authKey &&
    longEnough(await readSecret(authKey, 'the SNMP authentication key', from, env), 'the SNMP authentication key');
  const priv =
    privKey && longEnough(await readSecret(privKey, 'the SNMP privacy key', from, env), 'the SNMP privacy key');
  return {
    ...rest,
    label: `user ${setting.user}`,
    ...(auth === undefined ? {} : { authKey: auth }),
    ...(priv === undefined ? {} : { privKey: priv }),
  };
}

function problem(text: string): ProgramProblem {
  return new ProgramProblem('snmp-options', text);
}
