import { createHash, randomBytes, scrypt, timingSafeEqual } from 'node:crypto';
import { ProgramProblem } from '../../../model/problem.js';

/** Tells whether a token is the right one. */
export type TokenCheck = (given: string) => Promise<boolean>;

/** The token of an Authorization header: `Bearer TOKEN` (RFC 6750), or Basic (RFC 7617) with the token as password. */
export function givenToken(
  header: string | undefined,
): { readonly token: string; readonly bearer: boolean } | undefined {
  const [scheme = '', value = ''] = (header ?? '').split(' ');
  if (/^bearer$/i.test(scheme)) return { token: value, bearer: true };
  if (!/^basic$/i.test(scheme)) return undefined;
  const plain = Buffer.from(value, 'base64').toString('utf8');
  return { token: plain.slice(plain.indexOf(':') + 1), bearer: false };
}

/** The check against what the token file holds: the token itself, or what `hashedToken` made of it. Throws ProgramProblem. */
export function tokenCheck(stored: string): TokenCheck {
  if (!stored.startsWith('scrypt$')) return async (given) => sameHash(hashOf(given), hashOf(stored));
  const hashed = readHashed(stored);
  // What was right once is compared with at once afterwards: deriving a key takes a tenth of a second.
  let known: Buffer | undefined;
  return async (given) => {
    if (known !== undefined && sameHash(hashOf(given), known)) return true;
    const right = timingSafeEqual(await derived(given, hashed), hashed.hash);
    if (right) known = hashOf(given);
    return right;
  };
}

/** A new token of 192 random bits, and what may lie in a file instead of it. */
export async function newToken(): Promise<{ readonly token: string; readonly hashed: string }> {
  const token = randomBytes(24).toString('base64url');
  return { token, hashed: await hashedToken(token) };
}

/** Cost of a key: 32 MB, three times over (RFC 7914; common practice for passwords, from memory). */
const COST = { ln: 15, r: 8, p: 3 };
const KEY_OCTETS = 32;
const SHAPE = /^scrypt\$ln=(\d{1,2}),r=(\d{1,2}),p=(\d{1,2})\$([\w+/=-]{8,100})\$([\w+/=-]{22,200})$/;

/** `scrypt$ln=LOG2N,r=R,p=P$SALT$KEY`, salt and key in base64. */
export async function hashedToken(token: string, salt = randomBytes(16)): Promise<string> {
  const key = await derived(token, { ...COST, salt, hash: Buffer.alloc(KEY_OCTETS) });
  const { ln, r, p } = COST;
  return `scrypt$ln=${ln},r=${r},p=${p}$${salt.toString('base64')}$${key.toString('base64')}`;
}

interface Hashed {
  readonly ln: number;
  readonly r: number;
  readonly p: number;
  readonly salt: Buffer;
  readonly hash: Buffer;
}

function readHashed(stored: string): Hashed {
  const [, ln, r, p, salt = '', hash = ''] = SHAPE.exec(stored) ?? [];
  const cost = { ln: Number(ln), r: Number(r), p: Number(p) };
  // Less is guessed too fast, more would let every wrong guess take the machine's memory.
  const bounds = cost.ln >= 10 && cost.ln <= 18 && cost.r >= 1 && cost.r <= 16 && cost.p >= 1 && cost.p <= 16;
  if (!bounds) {
    throw new ProgramProblem(
      'token-hash',
      'The token of the page begins with "scrypt$" but is not scrypt$ln=10…18,r=1…16,p=1…16$SALT$KEY; make one with "outfeed agent --new-token FILE".',
    );
  }
  return { ...cost, salt: Buffer.from(salt, 'base64'), hash: Buffer.from(hash, 'base64') };
}

function derived(token: string, { ln, r, p, salt, hash }: Hashed): Promise<Buffer> {
  const N = 2 ** ln;
  return new Promise((resolve, reject) => {
    scrypt(token, salt, hash.length, { N, r, p, maxmem: 256 * N * r }, (error, key) => {
      if (error === null) resolve(key);
      else reject(error);
    });
  });
}

function hashOf(text: string): Buffer {
  return createHash('sha256').update(text).digest();
}

/** Compares without telling by the time it takes how much was right. */
function sameHash(one: Buffer, other: Buffer): boolean {
  return timingSafeEqual(one, other);
}
