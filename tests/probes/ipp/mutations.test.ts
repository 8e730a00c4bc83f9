import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { OUTCOMES } from '../../../src/model/evidence.js';
import { createSystemNet } from '../../../src/net/system-net.js';
import { ippProbe } from '../../../src/probes/ipp/ipp.js';
import { rawServer } from '../../net/raw-server.js';
import { HEALTHY, HOST, ippReply, limits, target } from './office.js';

/** A whole HTTP reply, head and IPP body, that is well as it stands. */
const BODY = ippReply({ path: '/', operation: 0x000b, version: '2.0', requestId: 1, attributes: {} }, 0, [
  { tag: 'printer-attributes-tag', attributes: HEALTHY },
]);
const HEAD = `HTTP/1.1 200 OK\r\nContent-Type: application/ipp\r\nContent-Length: ${BODY.length}\r\nConnection: close\r\n\r\n`;
const CHUNKED =
  'HTTP/1.1 200 OK\r\nContent-Type: application/ipp\r\nTransfer-Encoding: chunked\r\nConnection: close\r\n\r\n';
const SEEDS = [
  Buffer.concat([Buffer.from(HEAD), BODY]),
  Buffer.concat([Buffer.from(`${CHUNKED}${BODY.length.toString(16)}\r\n`), BODY, Buffer.from('\r\n0\r\n\r\n')]),
  Buffer.concat([Buffer.from(`HTTP/1.1 100 Continue\r\n\r\n${HEAD}`), BODY]),
];

describe('a whole reply, mutated anywhere', () => {
  test('gives records, never an error, and ends in time', async () => {
    let octets: Buffer = Buffer.alloc(0);
    const { port } = await rawServer((socket) => void socket.end(octets), HOST);
    const of = target({ ippUri: `ipp://${HOST}:${port}/ipp/print` });
    const edit = fc.record({ at: fc.nat(), put: fc.uint8Array({ maxLength: 4 }), drop: fc.nat({ max: 4 }) });
    await fc.assert(
      fc.asyncProperty(
        fc.constantFrom(...SEEDS),
        fc.array(edit, { minLength: 1, maxLength: 5 }),
        async (seed, edits) => {
          octets = edits.reduce<Buffer>((before, { at, put, drop }) => {
            const place = at % (before.length + 1);
            return Buffer.concat([before.subarray(0, place), put, before.subarray(place + drop)]);
          }, seed);
          const all = await ippProbe.run(of, createSystemNet(), limits({ timeoutMs: 150, deadlineMs: 600 }));
          expect(all.length).toBeGreaterThan(0);
          for (const each of all) expect(OUTCOMES).toContain(each.outcome);
        },
      ),
      { numRuns: Number(process.env.OUTFEED_FUZZ_EXCHANGES ?? 150), seed: 631 },
    );
  });
});
