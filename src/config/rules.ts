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
  return [...snmp, ...tell, ...sameNames(file), ...storeRules(file), ...pageRules(file)];
}

function under(path: readonly (string | number)[], texts: readonly string[]): readonly RuleBreach[] {
  return texts.map((text) => ({ path, text }));
}

function snmpRules(entry: SnmpEntry): readonly string[] {
  return String(entry.version) === '3' ? version3Rules(entry) : communityRules(entry);
}

function communityRules(entry: SnmpEntry): readonly string[] {
  const given = [entry.community, entry.communityFile, entry.communityEnv].filter((key) => key !== undefined);
  const strange = (['user', 'level', 'authProtocol', 'authKeyFile', 'authKeyEnv', 'privProtocol'] as const).filter(
    (key) => entry[key] !== undefined,
  );
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
    ...(entry.community === undefined
      ? []
      : ['"community" belongs to SNMP versions 1 and 2c, this entry is version 3']),
    ...(needsAuth && !hasAuth ? ['this level needs "authKeyFile" or "authKeyEnv"'] : []),
    ...(entry.level === 'authPriv' && !hasPriv ? ['level authPriv needs "privKeyFile" or "privKeyEnv"'] : []),
    ...auth,
    ...priv,
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
