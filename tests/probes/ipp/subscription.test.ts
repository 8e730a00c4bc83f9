import { expect, test } from 'vitest';
import { createSystemNet } from '../../../src/net/system-net.js';
import { pull } from '../../../src/probes/ipp/subscription.js';
import { ippAddress } from '../../../src/wire/ipp/uri.js';
import { HOST, ippReply, ippServer, sendIpp, value } from './office.js';

// RFC 8011 section 5.1.5: an integer goes to 2^31 - 1; RFC 3995 section 9.1.1: events are numbered from 1.
test('after an event of the highest number the next look still asks for a number that IPP can carry', async () => {
  const asked: unknown[] = [];
  const { port } = await ippServer((seen, response) => {
    asked.push(seen.attributes['notify-sequence-numbers']?.[0]?.value);
    const attributes = { 'notify-sequence-number': [value('integer', 2 ** 31 - 1)] };
    sendIpp(response, ippReply(seen, 0, [{ tag: 'event-notification-attributes-tag', attributes }]));
  });
  const address = ippAddress(HOST, port, false, '/printers/hall');
  const asking = { net: createSystemNet(), address, user: 'mira', timeoutMs: 2000 };
  const told = await pull(asking, 7, 1);
  expect(told).toMatchObject({ known: true, events: 1, nextSequence: 2 ** 31 - 1 });
  expect(await pull(asking, 7, 2 ** 31 - 1)).toMatchObject({ known: true });
  expect(asked).toEqual([1, 2 ** 31 - 1]);
});
