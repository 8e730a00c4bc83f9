import { Buffer } from 'node:buffer';
import { describe, expect, test } from 'vitest';
import { readEnvelope } from '../../src/net/snmp-envelope.js';
import { integer, octets, sequence } from './ber.js';
import { readRequest, response } from './snmp-agent.js';
import { MESSAGES } from './snmp-check-values.js';

const request = readRequest(Buffer.from(MESSAGES[1].hex, 'hex'));
const reply = response(request, {
  bindings: [
    ['1.3.6.1.2.1.43.18.1.1.2.1.1', integer(3)],
    ['1.3.6.1.2.1.43.18.1.1.8.1.1', octets('Tray 2 is empty')],
  ],
});

describe('the outside of a message', () => {
  test.each(MESSAGES)('$what', ({ hex, version, id }) => {
    expect(readEnvelope(Buffer.from(hex, 'hex'))).toMatchObject({ version, id, damage: null, kind: 'other' });
  });

  test('a whole reply has no damage', () => {
    expect(readEnvelope(reply)).toEqual({
      version: '2c',
      id: 2,
      level: 'noAuthNoPriv',
      engineId: '',
      kind: 'response',
      reports: [],
      damage: null,
    });
  });

  test('cut at each octet it is never taken as whole', () => {
    for (let length = 0; length < reply.length; length++) {
      const cut = readEnvelope(reply.subarray(0, length));
      expect(cut === null || cut.damage !== null).toBe(true);
    }
  });

  test('octets behind the message are told', () => {
    expect(readEnvelope(Buffer.concat([reply, Buffer.from('xx')]))?.damage).toBe('2 octets behind the message');
  });

  test.each([
    ['empty', Buffer.alloc(0)],
    ['text', Buffer.from('HTTP/1.1 200 OK')],
    ['zeros', Buffer.alloc(40)],
    ['another version', sequence(integer(2), octets('public'))],
    ['an endless length', Buffer.from('30847fffffff0201', 'hex')],
    ['an indefinite length', Buffer.from('3080020100', 'hex')],
  ])('%s is no message', (_, bytes) => {
    expect(readEnvelope(bytes)).toBeNull();
  });

  test('a sub-identifier beyond 32 bits is damage (RFC 2578 3.5)', () => {
    const broken = Buffer.from(reply);
    const at = broken.indexOf(Buffer.from('06', 'hex'), 30);
    broken.fill(0xff, at + 2, at + 8);
    expect(readEnvelope(broken)?.damage).toMatch(/beyond 32 bits|cut|binding/);
  });
});
