/** A self-signed certificate made on the spot, so that no private key lies in the project (RFC 5280 section 4.1). */
import { createPrivateKey, generateKeyPairSync, sign } from 'node:crypto';
import { element, integerContent, oidContent } from './ber.js';

export interface Certificate {
  /** PEM. */
  readonly key: string;
  /** PEM. */
  readonly cert: string;
}

/** Validity as GeneralizedTime, in UTC. Fixed dates: the same certificate is good or bad on any day of this project's life. */
const VALIDITY = {
  'self-signed': ['20240101000000Z', '20491231235959Z'],
  expired: ['20160101000000Z', '20191231235959Z'],
} as const;

const text = (value: string) => element(0x0c, Buffer.from(value, 'utf8'));
const oid = (value: string) => element(0x06, oidContent(value));
const time = (value: string) => element(0x18, Buffer.from(value, 'latin1'));

/** Makes a key pair (P-256) and a certificate for `commonName`. */
export function makeCertificate(commonName: string, kind: keyof typeof VALIDITY): Certificate {
  const pair = generateKeyPairSync('ec', {
    namedCurve: 'prime256v1',
    publicKeyEncoding: { type: 'spki', format: 'der' },
    privateKeyEncoding: { type: 'pkcs8', format: 'pem' },
  });
  // ecdsa-with-SHA256 (RFC 5758 section 3.2), commonName (RFC 5280 appendix A).
  const algorithm = element(0x30, oid('1.2.840.10045.4.3.2'));
  const name = element(0x30, element(0x31, element(0x30, oid('2.5.4.3'), text(commonName))));
  const [from, to] = VALIDITY[kind];
  const body = element(
    0x30,
    element(0xa0, element(0x02, integerContent(2))),
    element(0x02, integerContent(1)),
    algorithm,
    name,
    element(0x30, time(from), time(to)),
    name,
    pair.publicKey,
  );
  const signature = sign('sha256', body, createPrivateKey(pair.privateKey));
  const whole = element(0x30, body, algorithm, element(0x03, Buffer.from([0]), signature));
  const lines = whole.toString('base64').match(/.{1,64}/g) ?? [];
  return {
    key: pair.privateKey,
    cert: ['-----BEGIN CERTIFICATE-----', ...lines, '-----END CERTIFICATE-----', ''].join('\n'),
  };
}
