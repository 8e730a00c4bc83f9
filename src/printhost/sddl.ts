/**
 * Who may do what with a print queue, out of its security descriptor in SDDL form (MS-DTYP 2.5.1).
 * Rights of printers: print 0x8 (PRINTER_ACCESS_USE), manage the printer 0x4 (PRINTER_ACCESS_ADMINISTER), manage documents
 * 0x10 (JOB_ACCESS_ADMINISTER, on the jobs, so usually inherited only) (MS-RPRN 2.2.3.1).
 */

export const QUEUE_RIGHTS = ['print', 'manage documents', 'manage printer'] as const;
export type QueueRight = (typeof QUEUE_RIGHTS)[number];

const MASKS: Readonly<Record<QueueRight, number>> = { print: 0x8, 'manage documents': 0x10, 'manage printer': 0x4 };
/** GENERIC_ALL maps to everything, the others to printing: PRINTER_READ too holds PRINTER_ACCESS_USE (MS-DTYP 2.4.3, MS-RPRN 2.2.3.1). */
const GENERIC: Readonly<Record<string, number>> = { GA: 0x3c, GX: 0x8, GW: 0x8, GR: 0x8 };
const LETTERS: Readonly<Record<string, number>> = {
  CC: 0x1,
  DC: 0x2,
  LC: 0x4,
  SW: 0x8,
  RP: 0x10,
  WP: 0x20,
  DT: 0x40,
  LO: 0x80,
  CR: 0x100,
  SD: 0x10000,
  RC: 0x20000,
  WD: 0x40000,
  WO: 0x80000,
};

export interface QueueAce {
  readonly allows: boolean;
  /** SID, or its two letters (`WD` everyone, `BA` administrators). */
  readonly trustee: string;
  readonly rights: readonly QueueRight[];
}

/** Entries of the access list in their order; undefined when the text is no descriptor. */
export function readSddl(sddl: string): readonly QueueAce[] | undefined {
  if (sddl.length > 64_000) return undefined;
  const list = /D:[A-Z]*((?:\([^()]*\))*)/.exec(sddl)?.[1];
  if (list === undefined) return undefined;
  return [...list.matchAll(/\(([^()]*)\)/g)].flatMap(([, entry = '']) => {
    const [type, flags = '', rights = '', , , trustee = ''] = entry.split(';');
    if ((type !== 'A' && type !== 'D') || trustee === '') return [];
    const mask = maskOf(rights);
    const granted = QUEUE_RIGHTS.filter((right) => (mask & MASKS[right]) !== 0 && isMeant(right, flags));
    return granted.length === 0 ? [] : [{ allows: type === 'A', trustee, rights: granted }];
  });
}

/** An entry for heirs only (`IO`) is for the jobs and gives nothing at the queue itself (MS-DTYP 2.4.4.1, INHERIT_ONLY_ACE). */
function isMeant(right: QueueRight, flags: string): boolean {
  return right === 'manage documents' || flags.match(/../g)?.includes('IO') !== true;
}

function maskOf(rights: string): number {
  if (/^0x[0-9a-f]{1,8}$/i.test(rights)) {
    const mask = Number(rights);
    return mask & 0x10000000 ? mask | 0x3c : mask;
  }
  const pairs = rights.match(/../g) ?? [];
  return pairs.reduce((mask, pair) => mask | (LETTERS[pair] ?? GENERIC[pair] ?? 0), 0);
}

/** Two letters that stand for one group everywhere (MS-DTYP 2.5.1.1), or for a domain's group by the end of its SID. */
const SIDS: Readonly<Record<string, string>> = {
  BA: 'S-1-5-32-544',
  BU: 'S-1-5-32-545',
  BG: 'S-1-5-32-546',
  PU: 'S-1-5-32-547',
  AO: 'S-1-5-32-548',
  SO: 'S-1-5-32-549',
  PO: 'S-1-5-32-550',
  BO: 'S-1-5-32-551',
  RD: 'S-1-5-32-555',
  IU: 'S-1-5-4',
  NU: 'S-1-5-2',
  SU: 'S-1-5-6',
  AN: 'S-1-5-7',
};
const DOMAIN_GROUPS: Readonly<Record<string, string>> = {
  DA: '-512',
  DU: '-513',
  DG: '-514',
  DC: '-515',
  LA: '-500',
  LG: '-501',
};

/** Groups that hold everybody who signs in. */
const EVERYBODY = new Set(['WD', 'AU', 'S-1-1-0', 'S-1-5-11']);
const CREATOR = new Set(['CO', 'S-1-3-0']);
/** Whoever is not known to be in it most likely is not: system, network service, built-in operators. */
const ACCOUNTS_OF_THE_SYSTEM = new Set([
  'SY',
  'LS',
  'NS',
  'BA',
  'PO',
  'SO',
  'AC',
  'S-1-5-18',
  'S-1-5-32-544',
  'S-1-5-32-550',
  'S-1-5-32-549',
]);

export type Allowed = 'allowed' | 'refused' | 'unknown';

export interface Asking {
  /** `EXAMPLE\\mira` or `mira`. */
  readonly user: string;
  /** Groups that the user is known to be in, by name; null: not known. */
  readonly groups: readonly string[] | null;
  /** SID → account name. */
  readonly names: Readonly<Record<string, string>>;
}

/**
 * Whether a user has a right. A refusal that names the user, a group known to hold them or everybody comes first, as it does on
 * the host. `refused` without such an entry is said only when no group with the right is left whose members aren't known.
 */
export function rightOf(aces: readonly QueueAce[], right: QueueRight, asking: Asking): Allowed {
  const about = aces.filter((ace) => ace.rights.includes(right) && !CREATOR.has(ace.trustee));
  const match = (ace: QueueAce): boolean | null => concerns(ace.trustee, asking);
  if (about.some((ace) => !ace.allows && match(ace) === true)) return 'refused';
  if (about.some((ace) => ace.allows && match(ace) === true)) return 'allowed';
  return about.some((ace) => ace.allows && match(ace) === null) ? 'unknown' : 'refused';
}

/** Null: a group that may or may not hold the user. */
function concerns(trustee: string, { user, groups, names }: Asking): boolean | null {
  if (EVERYBODY.has(trustee)) return true;
  const sid = sidOf(trustee, names);
  const name = Object.hasOwn(names, sid) ? names[sid] : undefined;
  if (name !== undefined && sameAccount(name, user)) return true;
  if (ACCOUNTS_OF_THE_SYSTEM.has(trustee) && groups === null) return false;
  // Letters without a name could be any of the groups; a SID without one stands among them as it is.
  if (groups === null || (name === undefined && !sid.startsWith('S-'))) return null;
  return groups.some((group) => group === sid || (name !== undefined && sameAccount(name, group)));
}

/** The descriptor has letters for well-known groups, the names go by SID. */
function sidOf(trustee: string, names: Asking['names']): string {
  const end = DOMAIN_GROUPS[trustee];
  const ofDomain =
    end === undefined ? undefined : Object.keys(names).find((sid) => /^S-1-5-21-/.test(sid) && sid.endsWith(end));
  return SIDS[trustee] ?? ofDomain ?? trustee;
}

/** Account names compare without case; a name without its domain matches any. */
export function sameAccount(one: string, other: string): boolean {
  const [a, b] = [one.toLowerCase(), other.toLowerCase()];
  if (a === b) return true;
  const bare = (name: string): string => name.split('\\').at(-1) ?? name;
  return (!a.includes('\\') || !b.includes('\\')) && bare(a) === bare(b);
}
