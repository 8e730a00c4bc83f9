/**
 * Runs beside the reference printer, inside its network namespace, and prints one JSON document: what the probe saw of it
 * when idle, what the reference client shows at the same time, and what the probe saw after jobs that changed its state.
 */
import { execFileSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createSystemNet } from '../../src/net/system-net.js';
import { identifyPrinter } from '../../src/probes/ipp/identify.js';
import { ippProbe } from '../../src/probes/ipp/ipp.js';
import { ippAddress } from '../../src/wire/ipp/uri.js';
import { ipptoolAttributes } from './ipptool.js';

const folder = process.argv[2] ?? '.';
const URI = 'ipp://localhost:631/ipp/print';
const PRINT = `{
  OPERATION Print-Job
  GROUP operation-attributes-tag
  ATTR charset attributes-charset utf-8
  ATTR naturalLanguage attributes-natural-language en
  ATTR uri printer-uri $uri
  ATTR name requesting-user-name ana
  ATTR name job-name NAME
  ATTR mimeMediaType document-format text/plain
  FILE ${join(folder, 'job.txt')}
}
`;

function print(name: string): void {
  const file = join(folder, `${name}.test`);
  writeFileSync(join(folder, 'job.txt'), 'one line\n');
  writeFileSync(file, PRINT.replace('NAME', name));
  execFileSync('timeout', ['10', 'ipptool', '-q', URI, file]);
}

function read(host: string, user?: string) {
  const target = { label: 'front desk', host, snmpPort: 161, printPorts: [], queues: [] };
  const limits = { timeoutMs: 3_000, retries: 1, deadlineMs: 15_000, credentials: [] };
  return ippProbe.run(target, createSystemNet(), user === undefined ? limits : { ...limits, user });
}

/** Reads until the attribute has the value, for ten seconds at most. */
async function readUntil(attribute: string, value: string | number) {
  for (let attempt = 0; ; attempt += 1) {
    const seen = await read('localhost');
    const exchange = seen[0]?.source === 'ipp' ? seen[0].value : null;
    const there = exchange?.attributes[attribute]?.some((each) => each.value === value);
    if (there === true || attempt === 50) return seen;
    await new Promise((resolve) => setTimeout(resolve, 200));
  }
}

const idle = await read('localhost', 'ana');
const identified = await identifyPrinter(createSystemNet(), ippAddress('localhost', 631, false, '/ipp/print'), {
  timeoutMs: 3_000,
  version: '2.0',
});
const ipptool = Object.fromEntries(await ipptoolAttributes(URI));
print('jam');
const jammed = await readUntil('printer-state-reasons', 'media-jam-report');
print('supplies');
const supplied = await readUntil('marker-levels', 3);
process.stdout.write(JSON.stringify({ idle, identified, ipptool, jammed, supplied }));
