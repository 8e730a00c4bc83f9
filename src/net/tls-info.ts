import type { TLSSocket } from 'node:tls';
import type { TlsInfo } from '../model/evidence.js';

/**
 * What the other side's certificate says, whether or not it is trusted: printers sign their own. `trusted` takes the
 * chain and the name together, as the system judges them. Dates that can't be read are left out.
 */
export function tlsInfoOf(socket: TLSSocket): TlsInfo {
  const certificate = socket.getPeerCertificate();
  const protocol = socket.getProtocol();
  const from = isoDate(certificate.valid_from);
  const to = isoDate(certificate.valid_to);
  const subject = distinguishedName(certificate.subject);
  return {
    ...(protocol === null ? {} : { protocol }),
    trusted: socket.authorized,
    ...(subject === '' ? {} : { subject }),
    ...(from === undefined ? {} : { validFrom: from }),
    ...(to === undefined ? {} : { validTo: to }),
    ...(certificate.fingerprint256 === undefined ? {} : { fingerprint: certificate.fingerprint256.toLowerCase() }),
  };
}

/** `CN=printer, O=Example`. A certificate may come without a subject, or repeat a part of it. */
function distinguishedName(subject: unknown): string {
  return Object.entries(subject ?? {})
    .flatMap(([key, value]) => (Array.isArray(value) ? value : [value]).map((each) => `${key}=${String(each)}`))
    .join(', ')
    .slice(0, 500);
}

/** OpenSSL's `Jan  1 00:00:00 2026 GMT` → ISO 8601. */
function isoDate(text: string | undefined): string | undefined {
  const at = new Date(text ?? '');
  return Number.isNaN(at.getTime()) ? undefined : at.toISOString();
}
