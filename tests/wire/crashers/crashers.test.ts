import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { OUTCOMES } from '../../../src/model/evidence.js';
import type { Net } from '../../../src/net/net.js';
import { ippProbe } from '../../../src/probes/ipp/ipp.js';
import { OPERATION_NAMES } from '../../../src/registry/ipp.generated.js';
import { encodeMessage } from '../ipp/encode-message.js';

const folder = new URL('./', import.meta.url);
const files = readdirSync(folder).filter((name) => name.endsWith('.hex'));
const value = (tag: string, each: string | number) => [{ tag, value: each }];
const WELL = encodeMessage({
  version: '2.0',
  code: 0,
  requestId: 1,
  groups: [
    {
      tag: 'operation-attributes-tag',
      attributes: {
        'attributes-charset': value('charset', 'utf-8'),
        'attributes-natural-language': value('naturalLanguage', 'en'),
      },
    },
    { tag: 'printer-attributes-tag', attributes: { 'printer-state': value('enum', 3) } },
  ],
});

describe('replies that once threw past the probe', () => {
  test.each(files)('%s', async (file) => {
    const bad = Buffer.from(readFileSync(new URL(file, folder), 'utf8').trim(), 'hex');
    const operation = Object.values(OPERATION_NAMES).find((name) => file.startsWith(`${name}-`));
    const net = {
      now: () => new Date(),
      monotonic: () => performance.now(),
      http: async ({ body: asked }) => {
        const isIt = OPERATION_NAMES[asked?.readUInt16BE(2) ?? 0] === operation;
        const headers = { 'content-type': 'application/ipp' };
        return { outcome: 'answered', status: 200, headers, body: isIt ? bad : WELL, tookMs: 1 };
      },
    } as Partial<Net> as Net;
    const target = { label: 'desk', host: '192.0.2.21', snmpPort: 161, printPorts: [], queues: [] };
    const limits = { timeoutMs: 1000, retries: 0, deadlineMs: 3000, credentials: [] };
    const records = await ippProbe.run(target, net, limits);
    expect(records.map(({ what }) => what)).toContain(operation);
    for (const { outcome } of records) expect(OUTCOMES).toContain(outcome);
  });
});
