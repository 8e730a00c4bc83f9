import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { readProbeMatches } from '../../../src/wire/ws-discovery/matches.js';
import { DIALECTS, probeMessage } from '../../../src/wire/ws-discovery/probe.js';

const PROBE = 'urn:uuid:0a6dc791-2be6-4991-9af1-454778a1917a';
const [STANDARD, EARLIER] = DIALECTS;

/** An answer as WS-Discovery 1.1 section 5.3 and its example have it, written by hand; names invented. */
function answer(dialect: (typeof DIALECTS)[number] | undefined, body?: string, head = ''): string {
  const match =
    body ??
    `<d:ProbeMatch><a:EndpointReference><a:Address>urn:uuid:98190dc2-0890-4ef8-ac9a-5940995e6119</a:Address></a:EndpointReference>
     <d:Types>wsdp:Device p:PrintDeviceType</d:Types><d:XAddrs>http://192.0.2.30:5357/x</d:XAddrs><d:MetadataVersion>1</d:MetadataVersion></d:ProbeMatch>`;
  return `<?xml version="1.0"?>${head}<soap:Envelope xmlns:soap="http://www.w3.org/2003/05/soap-envelope" xmlns:a="${dialect?.addressing}" xmlns:d="${dialect?.discovery}" xmlns:wsdp="${dialect?.profile}" xmlns:p="urn:example:print">
  <soap:Header><a:Action>${dialect?.discovery}/ProbeMatches</a:Action><a:RelatesTo>${PROBE}</a:RelatesTo></soap:Header>
  <soap:Body><d:ProbeMatches>${match}</d:ProbeMatches></soap:Body></soap:Envelope>`;
}

describe('answers to a probe', () => {
  test.each([STANDARD, EARLIER])('endpoint and types, whatever the prefixes, in $discovery', (dialect) => {
    expect(readProbeMatches(answer(dialect))).toEqual({
      relatesTo: PROBE,
      matches: [{ endpoint: 'urn:uuid:98190dc2-0890-4ef8-ac9a-5940995e6119', types: ['Device', 'PrintDeviceType'] }],
    });
  });

  test('none, several, more than are kept', () => {
    expect(readProbeMatches(answer(STANDARD, ''))?.matches).toEqual([]);
    const one = '<d:ProbeMatch><a:EndpointReference><a:Address>urn:x</a:Address></a:EndpointReference></d:ProbeMatch>';
    expect(readProbeMatches(answer(STANDARD, one.repeat(3)))?.matches).toHaveLength(3);
    expect(readProbeMatches(answer(STANDARD, one.repeat(300)))?.matches).toHaveLength(64);
  });

  test('a document type is refused: no entity grows here', () => {
    const bomb = '<!DOCTYPE x [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;&a;">]>';
    expect(readProbeMatches(answer(STANDARD, undefined, bomb))).toBeNull();
    expect(readProbeMatches(answer(STANDARD, '<d:ProbeMatch>&b;</d:ProbeMatch>'))).toBeNull();
  });

  test('too deep, too long, cut, or something else is no answer', () => {
    expect(readProbeMatches(answer(STANDARD, '<x>'.repeat(40) + '</x>'.repeat(40)))).toBeNull();
    expect(readProbeMatches(answer(STANDARD, ' '.repeat(70_000)))).toBeNull();
    const whole = answer(STANDARD);
    for (let length = 0; length < whole.length; length += 1)
      expect(readProbeMatches(whole.slice(0, length))).toBeNull();
    expect(readProbeMatches('<html><body>It works</body></html>')).toBeNull();
    expect(readProbeMatches(probeMessage(DIALECTS[0] as (typeof DIALECTS)[number], PROBE))).toBeNull();
  });

  test('whatever comes, nothing is thrown', () => {
    const whole = answer(EARLIER);
    fc.assert(
      fc.property(fc.nat(whole.length - 1), fc.string({ maxLength: 12 }), (at, junk) => {
        readProbeMatches(whole.slice(0, at) + junk + whole.slice(at + junk.length));
      }),
    );
  });
});

test('a probe asks for print devices, in well-formed XML', () => {
  for (const dialect of DIALECTS) {
    const text = probeMessage(dialect, PROBE);
    expect(text).toContain(`<a:Action>${dialect.discovery}/Probe</a:Action>`);
    expect(text).toContain('<d:Types>wsdp:Device wprt:PrintDeviceType</d:Types>');
    expect(Buffer.byteLength(text)).toBeLessThan(1400);
  }
});
