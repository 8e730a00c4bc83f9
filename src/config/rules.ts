import ipaddr from 'ipaddr.js';
import type { ConfigFile, SnmpEntry, TellEntry } from './file-schema.js';

/** A breach of a rule that spans several keys. `path` leads to the block that it is about. */
export interface RuleBreach {
  readonly path: readonly (string | number)[];
  readonly text: string;
}

/** What a schema of single keys can't say: keys that need, exclude or repeat one another. */
export function brokenRules(file: ConfigFile): readonly RuleBreach[] {
  const snmp = (file.snmp ?? []).flatMap((entry, at) => under(['snmp', at], snmpRules(entry)));
  const tell = (file.tell ?? []).flatMap((entry, at) => under(['tell', at], tellRules(entry)));
  return [
    ...snmp,
    ...tell,
    ...sameNames(file),
    ...wrongSchemes(file),
    ...storeRules(file),
    ...pageRules(file),
    ...portRules(file),
  ];
}

function under(path: readonly (string | number)[], texts: readonly string[]): readonly RuleBreach[] {
  return texts.map((text) => ({ path, text }));
}

function snmpRules(entry: SnmpEntry): readonly string[] {
  return String(entry.version) === '3' ? version3Rules(entry) : communityRules(entry);
}

const VERSION_3_KEYS = [
  'user',
  'level',
  'authProtocol',
  'authKeyFile',
  'authKeyEnv',
  'privProtocol',
  'privKeyFile',
  'privKeyEnv',
  'context',
] as const satisfies readonly (keyof SnmpEntry)[];
const COMMUNITY_KEYS = ['community', 'communityFile', 'communityEnv'] as const satisfies readonly (keyof SnmpEntry)[];

function communityRules(entry: SnmpEntry): readonly string[] {
  const given = [entry.community, entry.communityFile, entry.communityEnv].filter((key) => key !== undefined);
  const strange = VERSION_3_KEYS.filter((key) => entry[key] !== undefined);
  return [
    ...(given.length === 1 ? [] : ['this entry needs one of community, communityFile or communityEnv']),
    ...strange.map((key) => `"${key}" belongs to SNMP version 3, this entry is version ${entry.version}`),
  ];
}

function version3Rules(entry: SnmpEntry): readonly string[] {
  const auth = secretRules('authKey', entry.authKeyFile, entry.authKeyEnv);
  const priv = secretRules('privKey', entry.privKeyFile, entry.privKeyEnv);
  const hasAuth = (entry.authKeyFile ?? entry.authKeyEnv) !== undefined;
  const hasPriv = (entry.privKeyFile ?? entry.privKeyEnv) !== undefined;
  const needsAuth = entry.level === 'authNoPriv' || entry.level === 'authPriv' || hasPriv;
  return [
    ...(entry.user === undefined ? ['SNMP version 3 needs a "user"'] : []),
    ...COMMUNITY_KEYS.filter((key) => entry[key] !== undefined).map(
      (key) => `"${key}" belongs to SNMP versions 1 and 2c, this entry is version 3`,
    ),
    ...(needsAuth && !hasAuth ? ['this level needs "authKeyFile" or "authKeyEnv"'] : []),
    ...(entry.level === 'authPriv' && !hasPriv ? ['level authPriv needs "privKeyFile" or "privKeyEnv"'] : []),
    ...unusedRules(entry, hasAuth, hasPriv),
    ...auth,
    ...priv,
  ];
}

/** A key that its level leaves out, or a protocol without a key, would let somebody believe that traffic is protected. */
function unusedRules(
  { level, authProtocol, privProtocol }: SnmpEntry,
  auth: boolean,
  priv: boolean,
): readonly string[] {
  return [
    ...(level === 'noAuthNoPriv' && auth ? ['level noAuthNoPriv leaves the authentication key unused'] : []),
    ...(level === 'authNoPriv' && priv ? ['level authNoPriv leaves the privacy key unused'] : []),
    ...(authProtocol !== undefined && !auth ? ['"authProtocol" needs "authKeyFile" or "authKeyEnv"'] : []),
    ...(privProtocol !== undefined && !priv ? ['"privProtocol" needs "privKeyFile" or "privKeyEnv"'] : []),
  ];
}

function secretRules(key: string, file: string | undefined, env: string | undefined): readonly string[] {
  return file !== undefined && env !== undefined ? [`take "${key}File" or "${key}Env", not both`] : [];
}

function tellRules(entry: TellEntry): readonly string[] {
  const ways = [entry.webhook, entry.mail, entry.command].filter((way) => way !== undefined).length;
  return [
    ...(ways === 1 ? [] : ['each entry of "tell" has exactly one of webhook, mail or command']),
    ...secretRules('secret', entry.webhook?.secretFile, entry.webhook?.secretEnv),
    ...secretRules('user', entry.mail?.userFile, entry.mail?.userEnv),
    ...secretRules('password', entry.mail?.passwordFile, entry.mail?.passwordEnv),
  ];
}

function sameNames(file: ConfigFile): readonly RuleBreach[] {
  const seen = new Set<string>();
  return (file.printers ?? []).flatMap(({ name }, at) => {
    const known = seen.has(name.toLowerCase());
    seen.add(name.toLowerCase());
    return known
      ? [{ path: ['printers', at, 'name'], text: `two printers are called "${name}"; a name stands for one` }]
      : [];
  });
}

const OVER_IPP = ['ipp', 'ipps', 'http', 'https'];

/** URIs of another scheme would be passed over without a word. */
function wrongSchemes({ printers = [] }: ConfigFile): readonly RuleBreach[] {
  return printers.flatMap(({ ippUri, queues = [] }, at) => [
    ...(ippUri === undefined || OVER_IPP.includes(schemeOf(ippUri))
      ? []
      : [{ path: ['printers', at, 'ippUri'], text: `ippUri takes an ipp, ipps, http or https URI, not "${ippUri}"` }]),
    ...queues.flatMap((uri, n) =>
      schemeOf(uri) === 'socket'
        ? [
            {
              path: ['printers', at, 'queues', n],
              text: `queues take ipp, ipps, http, https or lpd URIs, not "${uri}"`,
            },
          ]
        : [],
    ),
  ]);
}

function schemeOf(uri: string): string {
  return uri.trim().split(':', 1)[0]?.toLowerCase() ?? '';
}

const HIGHEST_PORT = 65_535;

function portRules({ page, traps }: ConfigFile): readonly RuleBreach[] {
  const places = [
    ['page', page?.listen],
    ['traps', traps?.listen],
  ] as const;
  return places.flatMap(([block, listen]) =>
    Number((listen ?? '').split(':').at(-1)) > HIGHEST_PORT
      ? [{ path: [block, 'listen'], text: `${block} listen takes a port up to ${HIGHEST_PORT}, not "${listen}"` }]
      : [],
  );
}

function storeRules({ store }: ConfigFile): readonly RuleBreach[] {
  const given = [store?.url, store?.urlFile, store?.urlEnv].filter((key) => key !== undefined).length;
  return given > 1 ? [{ path: ['store'], text: 'take one of "url", "urlFile" or "urlEnv"' }] : [];
}

function pageRules({ page }: ConfigFile): readonly RuleBreach[] {
  const both = secretRules('token', page?.tokenFile, page?.tokenEnv);
  const open = page?.listen !== undefined && !isLoopback(page.listen);
  const token = page?.tokenFile ?? page?.tokenEnv;
  return under(
    ['page'],
    [
      ...both,
      ...((page?.certFile === undefined) === (page?.keyFile === undefined)
        ? []
        : ['"certFile" and "keyFile" go together: the certificate and its private key']),
      ...(open && token === undefined ? ['a page that listens beyond loopback needs "tokenFile" or "tokenEnv"'] : []),
    ],
  );
}

function isLoopback(listen: string): boolean {
  const host = listen.replace(/:\d+$/, '').replace(/^\[(.*)\]$/, '$1');
  if (host === 'localhost') return true;
  return ipaddr.isValid(host) && ipaddr.process(host).range() === 'loopback';
}
