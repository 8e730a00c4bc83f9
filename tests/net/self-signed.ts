import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

let made: { key: Buffer; cert: Buffer } | undefined;

/** A key and a certificate that it signed itself, made by the openssl program once for each test file. */
export function selfSigned(): { key: Buffer; cert: Buffer } {
  if (made !== undefined) return made;
  const folder = mkdtempSync(join(tmpdir(), 'outfeed-cert-'));
  const [key, cert] = [join(folder, 'key.pem'), join(folder, 'cert.pem')];
  const subject = ['-subj', '/CN=printer.example/O=Example'];
  const curve = ['-newkey', 'ec', '-pkeyopt', 'ec_paramgen_curve:prime256v1', '-nodes'];
  execFileSync('openssl', ['req', '-x509', ...curve, '-keyout', key, '-out', cert, '-days', '30', ...subject], {
    stdio: 'ignore',
  });
  made = { key: readFileSync(key), cert: readFileSync(cert) };
  rmSync(folder, { recursive: true });
  return made;
}
