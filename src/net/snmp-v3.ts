import { Buffer } from 'node:buffer';
import { createCipheriv, createDecipheriv, getCiphers, getHashes, randomBytes } from 'node:crypto';
import snmp from 'net-snmp';
import type { SnmpCredential } from './net.js';

export type V3Credential = Extract<SnmpCredential, { version: '3' }>;

/** Authentication protocols by the name a configuration uses (RFC 3414, RFC 7860), with the digest each needs. */
const AUTH: Readonly<Record<string, { readonly protocol: snmp.AuthProtocols; readonly hash: string }>> = {
  MD5: { protocol: snmp.AuthProtocols.md5, hash: 'md5' },
  'SHA-1': { protocol: snmp.AuthProtocols.sha, hash: 'sha1' },
  'SHA-224': { protocol: snmp.AuthProtocols.sha224, hash: 'sha224' },
  'SHA-256': { protocol: snmp.AuthProtocols.sha256, hash: 'sha256' },
  'SHA-384': { protocol: snmp.AuthProtocols.sha384, hash: 'sha384' },
  'SHA-512': { protocol: snmp.AuthProtocols.sha512, hash: 'sha512' },
};

/** Keys of the algorithms that the library does not have under a number of its own. */
const AES_192 = 192;
const AES_192_C = 1192;

/**
 * Privacy protocols by name. DES: RFC 3414 8; AES-128: RFC 3826. AES-192 and AES-256 were never standardised: the
 * plain names extend a short key by hashing (draft-blumenthal-aes-usm-04), the names with `-C` by localising again
 * (draft-reeder-snmpv3-usm-3desede-00).
 */
const PRIV: Readonly<Record<string, { readonly protocol: number; readonly cipher: string }>> = {
  DES: { protocol: snmp.PrivProtocols.des, cipher: 'des-ede3-cbc' },
  'AES-128': { protocol: snmp.PrivProtocols.aes, cipher: 'aes-128-cfb' },
  'AES-192': { protocol: AES_192, cipher: 'aes-192-cfb' },
  'AES-192-C': { protocol: AES_192_C, cipher: 'aes-192-cfb' },
  'AES-256': { protocol: snmp.PrivProtocols.aes256b, cipher: 'aes-256-cfb' },
  'AES-256-C': { protocol: snmp.PrivProtocols.aes256r, cipher: 'aes-256-cfb' },
};

const OTHER_SPELLINGS: Readonly<Record<string, string>> = { SHA: 'SHA-1', SHA1: 'SHA-1', AES: 'AES-128' };

/** `sha256`, `SHA-256`, `SHA_256` → `SHA-256`. */
function canonical(name: string): string {
  const upper = name.trim().toUpperCase().replaceAll('_', '-');
  const dashed = upper.replace(/^(SHA|AES)(\d{3})/, '$1-$2');
  return OTHER_SPELLINGS[dashed] ?? dashed;
}

interface Engine {
  readonly engineID: Buffer;
}
type Cipher = (name: string, key: Buffer, iv: Buffer) => { update(b: Buffer): Buffer; final(): Buffer };

/**
 * DES in CBC mode with the key and pre-IV of RFC 3414 8.1.1.1. Current OpenSSL has no single DES, but triple DES with
 * the same key three times is the same function.
 */
function singleDes(make: Cipher, input: Buffer, salt: Buffer, localized: Buffer): Buffer {
  const key = localized.subarray(0, 8);
  const iv = Buffer.alloc(8);
  for (let i = 0; i < 8; i++) iv[i] = (localized[8 + i] ?? 0) ^ (salt[i] ?? 0);
  const cipher = make('des-ede3-cbc', Buffer.concat([key, key, key]), iv);
  return Buffer.concat([cipher.update(input), cipher.final()]);
}

function unpadded<T extends { setAutoPadding(on: boolean): unknown }>(cipher: T): T {
  cipher.setAutoPadding(false);
  return cipher;
}

function encryptDes(pdu: Buffer, _priv: number, password: string, auth: snmp.AuthProtocols, engine: Engine) {
  const localized = snmp.Authentication.passwordToKey(auth as never, password, engine.engineID);
  const salt = Buffer.concat([Buffer.from([0, 0, 0, 1]), randomBytes(4)]);
  const padded = Buffer.concat([pdu, Buffer.alloc((8 - (pdu.length % 8)) % 8)]);
  const make: Cipher = (name, key, iv) => unpadded(createCipheriv(name, key, iv));
  return { encryptedPdu: singleDes(make, padded, salt, localized), msgPrivacyParameters: salt };
}

function decryptDes(
  pdu: Buffer,
  _priv: number,
  salt: Buffer,
  password: string,
  auth: snmp.AuthProtocols,
  engine: Engine,
): Buffer {
  const localized = snmp.Authentication.passwordToKey(auth as never, password, engine.engineID);
  return singleDes((name, key, iv) => unpadded(createDecipheriv(name, key, iv)), pdu, salt, localized);
}

let completed = false;

/** Gives the library's table of ciphers what it lacks on current OpenSSL. */
function completeCiphers(): void {
  if (completed) return;
  completed = true;
  const algorithms = snmp.Encryption.algorithms as unknown as Record<number, Record<string, unknown>>;
  const des = algorithms[snmp.PrivProtocols.des];
  algorithms[snmp.PrivProtocols.des] = { ...des, encryptPdu: encryptDes, decryptPdu: decryptDes };
  const shorter = { CRYPTO_ALGORITHM: 'aes-192-cfb', KEY_LENGTH: 24 };
  algorithms[AES_192] = { ...algorithms[snmp.PrivProtocols.aes256b], ...shorter };
  algorithms[AES_192_C] = { ...algorithms[snmp.PrivProtocols.aes256r], ...shorter };
}

/**
 * Localised keys that the library may remember: an agent that names a new engine each time must not fill the memory.
 */
const MAX_KEYS = 512;

function forgetKeys(): void {
  const remembered = snmp.Authentication as unknown as { authToKeyCache: Record<string, unknown> };
  if (Object.keys(remembered.authToKeyCache).length > MAX_KEYS) remembered.authToKeyCache = {};
}

/** What this machine's cryptography offers; a parameter so that a test may take something away. */
export interface Offered {
  readonly hashes: readonly string[];
  readonly ciphers: readonly string[];
}

function authPart(credential: V3Credential, offered: Offered): { user: Partial<snmp.User> } | { problem: string } {
  const name = canonical(credential.authProtocol ?? '');
  const known = AUTH[name];
  if (known === undefined) return { problem: `authentication protocol ${name || '(none given)'} is not known` };
  if (!offered.hashes.includes(known.hash)) return { problem: `authentication protocol ${name} is not available here` };
  if (!credential.authKey) return { problem: `level ${credential.level} needs an authentication key` };
  return { user: { authProtocol: known.protocol, authKey: credential.authKey } };
}

function privPart(credential: V3Credential, offered: Offered): { user: Partial<snmp.User> } | { problem: string } {
  const name = canonical(credential.privProtocol ?? '');
  const known = PRIV[name];
  if (known === undefined) return { problem: `privacy protocol ${name || '(none given)'} is not known` };
  if (!offered.ciphers.includes(known.cipher)) return { problem: `privacy protocol ${name} is not available here` };
  if (!credential.privKey) return { problem: 'level authPriv needs a privacy key' };
  return { user: { privProtocol: known.protocol as snmp.PrivProtocols, privKey: credential.privKey } };
}

/** The library's user for a credential, or one sentence that says why there can be none on this machine. */
export function v3User(
  credential: V3Credential,
  offered: Offered = { hashes: getHashes(), ciphers: getCiphers() },
): { readonly user: snmp.User } | { readonly problem: string } {
  completeCiphers();
  forgetKeys();
  let user: snmp.User = { name: credential.user, level: snmp.SecurityLevel[credential.level] };
  if (credential.level !== 'noAuthNoPriv') {
    const auth = authPart(credential, offered);
    if ('problem' in auth) return auth;
    user = { ...user, ...auth.user };
  }
  if (credential.level === 'authPriv') {
    const priv = privPart(credential, offered);
    if ('problem' in priv) return priv;
    user = { ...user, ...priv.user };
  }
  return { user };
}

/**
 * The key of a password localised to an engine (RFC 3414 2.6, A.2). `engineId` in hex; throws on an unknown protocol.
 */
export function localizedKey(authProtocol: string, password: string, engineId: string): Buffer {
  const known = AUTH[canonical(authProtocol)];
  if (known === undefined) throw new RangeError(`authentication protocol ${authProtocol} is not known`);
  return snmp.Authentication.passwordToKey(known.protocol as never, password, Buffer.from(engineId, 'hex'));
}
