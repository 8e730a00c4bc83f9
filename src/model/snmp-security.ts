/** RFC 3414 (MD5, SHA-1) and RFC 7860 (SHA-2). */
export const AUTH_PROTOCOLS = ['MD5', 'SHA-1', 'SHA-224', 'SHA-256', 'SHA-384', 'SHA-512'] as const;
export type AuthProtocol = (typeof AUTH_PROTOCOLS)[number];

/**
 * RFC 3414 (DES), RFC 3826 (AES-128). AES-192 and AES-256 are in wide use without a standard, in two kinds: `-C` localises
 * a short key again (draft-reeder-snmpv3-usm-3desede-00), the plain names hash it (draft-blumenthal-aes-usm-04).
 */
export const PRIV_PROTOCOLS = ['DES', 'AES-128', 'AES-192', 'AES-256', 'AES-192-C', 'AES-256-C'] as const;
export type PrivProtocol = (typeof PRIV_PROTOCOLS)[number];

/** RFC 3411 section 3.4.3. */
export const SECURITY_LEVELS = ['noAuthNoPriv', 'authNoPriv', 'authPriv'] as const;
export type SecurityLevel = (typeof SECURITY_LEVELS)[number];

/** RFC 3414 11.2: a password shorter than this is no password. */
export const SHORTEST_KEY = 8;

function bare(text: string): string {
  return text.toUpperCase().replaceAll(/[^A-Z0-9]/g, '');
}

/** Takes `sha256`, `SHA`, `sha-1` for what they mean. */
export function authProtocolOf(text: string): AuthProtocol | undefined {
  const wanted = bare(text) === 'SHA' ? 'SHA1' : bare(text);
  return AUTH_PROTOCOLS.find((name) => bare(name) === wanted);
}

/** Takes `aes`, `AES256`, `des` for what they mean. */
export function privProtocolOf(text: string): PrivProtocol | undefined {
  const wanted = bare(text) === 'AES' ? 'AES128' : bare(text);
  return PRIV_PROTOCOLS.find((name) => bare(name) === wanted);
}
