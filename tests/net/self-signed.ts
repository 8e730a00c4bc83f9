import { Buffer } from 'node:buffer';
import { generate } from 'selfsigned';

/** A key and a certificate that it signed itself, both as PEM. */
export interface OwnCertificate {
  readonly key: Buffer;
  readonly cert: Buffer;
}

/** A certificate on P-256 for a month. `addresses` are what it stands for beside its name (RFC 5280 4.2.1.6). */
export async function certify(
  subject: Readonly<Record<string, string>>,
  addresses: readonly string[] = [],
): Promise<OwnCertificate> {
  const names = Object.entries(subject).map(([name, value]) => ({ name, value }));
  const ends = new Date(Date.now() + 30 * 86_400_000);
  const { private: key, cert } = await generate(names, {
    keyType: 'ec',
    curve: 'P-256',
    notAfterDate: ends,
    extensions: [{ name: 'subjectAltName', altNames: addresses.map((ip) => ({ type: 7, ip })) }],
  });
  return { key: Buffer.from(key), cert: Buffer.from(cert) };
}

const printer = await certify({ commonName: 'printer.example', organizationName: 'Example' });

/** The certificate of a printer, made once for each test file. */
export const selfSigned = (): OwnCertificate => printer;
