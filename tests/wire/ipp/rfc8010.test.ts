import { describe, expect, test } from 'vitest';
import { readDateTime } from '../../../src/wire/ipp/date-time.js';
import { decodeIpp } from '../../../src/wire/ipp/decode.js';
import { encodeRequest } from '../../../src/wire/ipp/encode-request.js';
import { readReply } from '../../../src/wire/ipp/reply.js';
import values from './check-values.json' with { type: 'json' };
import { encodeMessage } from './encode-message.js';
import { decoded } from './octets.js';

function example(section: string): Buffer {
  const found = values.messages.find((entry) => entry.section === `RFC 8010 ${section}`);
  return Buffer.from(found?.hex ?? '', 'hex');
}

/** A message's groups without tags, for reading beside the RFC's tables. */
function plain(section: string) {
  return decoded(example(section)).groups.map((group) => ({
    [group.tag]: Object.fromEntries(
      Object.entries(group.attributes).map(([name, set]) => [name, set.map((each) => each.value)]),
    ),
  }));
}

const URI = 'ipp://printer.example.com/ipp/print/pinetree';
const OPERATION = { 'attributes-charset': ['utf-8'], 'attributes-natural-language': ['en-us'] };

describe('the messages of RFC 8010 appendix A', () => {
  test.each(values.messages)('$section $what: whole, without any deviation', (entry) => {
    const octets = Buffer.from(entry.hex, 'hex');
    expect(octets.length).toBe(entry.length);
    const result = decodeIpp(octets);
    expect(result.problems).toEqual([]);
    expect(result.message?.dataOffset).toBe(entry.length);
    expect(result.message?.deviations).toEqual([]);
  });

  test.each(values.messages)('$section $what: encoded again to the same octets', (entry) => {
    const octets = Buffer.from(entry.hex, 'hex');
    expect(encodeMessage(decoded(octets)).toString('hex')).toBe(entry.hex);
  });

  test('A.1 Print-Job request', () => {
    expect(decoded(example('A.1'))).toMatchObject({ version: '1.1', code: 0x0002, requestId: 1 });
    expect(plain('A.1')).toEqual([
      {
        'operation-attributes-tag': {
          ...OPERATION,
          'printer-uri': [URI],
          'job-name': ['foobar'],
          'ipp-attribute-fidelity': [true],
        },
      },
      { 'job-attributes-tag': { copies: [20], sides: ['two-sided-long-edge'] } },
    ]);
  });

  test('A.3 an unsupported value stands under an out-of-band tag', () => {
    const reply = readReply(decoded(example('A.3')), { operation: 'Validate-Job', requestId: 1 });
    expect(reply).toMatchObject({
      status: 'client-error-attributes-or-values-not-supported',
      unsupported: ['copies', 'sides'],
      problems: [],
    });
    expect(decoded(example('A.3')).groups[1]?.attributes.sides).toEqual([{ tag: 'unsupported', value: null }]);
  });

  test('A.7 a collection inside a collection', () => {
    const size = {
      'x-dimension': [{ tag: 'integer', value: 21000 }],
      'y-dimension': [{ tag: 'integer', value: 29700 }],
    };
    expect(decoded(example('A.7')).groups[0]?.attributes['media-col']).toEqual([
      {
        tag: 'begCollection',
        value: {
          members: {
            'media-size': [{ tag: 'begCollection', value: { members: size } }],
            'media-type': [{ tag: 'keyword', value: 'stationery' }],
          },
        },
      },
    ]);
  });

  test('A.9 one record for each job, an empty one too', () => {
    const reply = readReply(decoded(example('A.9')), { operation: 'Get-Jobs', requestId: 123 });
    const name = (language: string, text: string) => [{ tag: 'nameWithLanguage', value: { language, text } }];
    expect(reply.status).toBe('successful-ok');
    expect(reply.jobs).toEqual([
      { 'job-id': [{ tag: 'integer', value: 147 }], 'job-name': name('fr-ca', 'fou') },
      {},
      { 'job-id': [{ tag: 'integer', value: 148 }], 'job-name': name('de-CH', 'isch guet') },
    ]);
  });
});

describe('requests', () => {
  test('Get-Jobs has the octets of RFC 8010 A.8', () => {
    const octets = encodeRequest({
      operation: 'Get-Jobs',
      version: '1.1',
      requestId: 123,
      printerUri: URI,
      limit: 50,
      requestedAttributes: ['job-id', 'job-name', 'document-format'],
    });
    expect(octets.toString('hex')).toBe(example('A.8').toString('hex'));
  });

  // RFC 8010 A.6 with the operation code of RFC 8011 5.4.15 in place of Create-Job's.
  test.each([
    ['Validate-Job', '0004'],
    ['Get-Job-Attributes', '0009'],
    ['Get-Jobs', '000a'],
    ['Get-Printer-Attributes', '000b'],
  ] as const)('%s with nothing further has the octets of A.6 under its own code', (operation, code) => {
    const octets = encodeRequest({ operation, version: '1.1', requestId: 1, printerUri: URI });
    expect(octets.toString('hex')).toBe(example('A.6').toString('hex').replace('01010005', `0101${code}`));
  });

  test.each([
    ['2.0', '0200'],
    ['1.1', '0101'],
    ['1.0', '0100'],
  ] as const)('version %s', (version, octets) => {
    const request = encodeRequest({ operation: 'Validate-Job', version, requestId: 2 ** 31 - 1, printerUri: URI });
    expect(request.subarray(0, 8).toString('hex')).toBe(`${octets}00047fffffff`);
  });

  test('every attribute that can be asked comes out with the tag of RFC 8011 and in the order of its section 4', () => {
    const octets = encodeRequest({
      operation: 'Get-Jobs',
      version: '2.0',
      requestId: 9,
      printerUri: URI,
      jobId: 4,
      user: 'zoë',
      documentFormat: 'application/pdf',
      limit: 3,
      requestedAttributes: ['job-id', 'vendor-own-thing'],
      whichJobs: 'completed',
    });
    const [group] = decoded(octets).groups;
    expect(Object.entries(group?.attributes ?? {})).toEqual([
      ['attributes-charset', [{ tag: 'charset', value: 'utf-8' }]],
      ['attributes-natural-language', [{ tag: 'naturalLanguage', value: 'en-us' }]],
      ['printer-uri', [{ tag: 'uri', value: URI }]],
      ['job-id', [{ tag: 'integer', value: 4 }]],
      ['requesting-user-name', [{ tag: 'nameWithoutLanguage', value: 'zoë' }]],
      ['document-format', [{ tag: 'mimeMediaType', value: 'application/pdf' }]],
      ['limit', [{ tag: 'integer', value: 3 }]],
      [
        'requested-attributes',
        [
          { tag: 'keyword', value: 'job-id' },
          { tag: 'keyword', value: 'vendor-own-thing' },
        ],
      ],
      ['which-jobs', [{ tag: 'keyword', value: 'completed' }]],
    ]);
  });

  test('what the encoder would get wrong never reaches it', () => {
    const octets = encodeRequest({
      operation: 'Validate-Job',
      version: '2.0',
      requestId: 0,
      printerUri: 'ipp://printer.example/dücker \ud800',
      user: `a\u001eb\u0000c\ud800${'é'.repeat(200)}`,
    });
    const message = decoded(octets);
    expect(message.deviations).toEqual([]);
    expect(message.requestId).toBe(1);
    const attributes = message.groups[0]?.attributes;
    expect(attributes?.['printer-uri']?.[0]?.value).toBe('ipp://printer.example/d%C3%BCcker%20%EF%BF%BD');
    const user = attributes?.['requesting-user-name']?.[0]?.value;
    expect(user).toBe(`abc${'é'.repeat(126)}`);
    expect(Buffer.byteLength(String(user))).toBe(255);
  });
});

describe('dates (RFC 2579 DateAndTime)', () => {
  const iso: Readonly<Record<string, string>> = {
    '1992-5-26,13:30:15.0,-4:0': '1992-05-26T13:30:15-04:00',
    '1992-5-26,13:30:15.0': '1992-05-26T13:30:15',
    '2026-11-24,21:35:2.5,+0:0': '2026-11-24T21:35:02.5+00:00',
    '2000-2-29,23:59:60.9,+13:45': '2000-02-29T23:59:60.9+13:45',
  };
  test.each(values.dateAndTime)('$text', ({ text, hex }) => {
    expect(readDateTime(Buffer.from(hex, 'hex'))).toBe(iso[text]);
  });

  test.each([
    ['month 0', '07ea0018152302052b0000'],
    ['month 13', '07ea0d18152302052b0000'],
    ['day 0', '07ea0b00152302052b0000'],
    ['30 February', '07e8021e152302052b0000'],
    ['29 February of no leap year', '07e9021d152302052b0000'],
    ['29 February 1900', '076c021d152302052b0000'],
    ['hour 24', '07ea0b18182302052b0000'],
    ['minute 60', '07ea0b18153c02052b0000'],
    ['second 61', '07ea0b1815233d052b0000'],
    ['deci-second 10', '07ea0b181523020a2b0000'],
    ['no direction', '07ea0b1815230205000000'],
    ['15 hours from UTC', '07ea0b18152302052b0f00'],
    ['all zero', '0000000000000000000000'],
    ['seven octets', '07ea0b18152302'],
  ])('%s is no date', (_what, hex) => {
    expect(readDateTime(Buffer.from(hex, 'hex'))).toBeUndefined();
  });
});
