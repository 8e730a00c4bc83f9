/** What is asked once a printer has answered: over TLS where it offers that, every format, the job at the head. */
import { describe, expect, test } from 'vitest';
import type { IppAttributes, IppExchangeValue, Observation } from '../../../src/model/evidence.js';
import type { Net } from '../../../src/net/net.js';
import { createSystemNet } from '../../../src/net/system-net.js';
import { ippProbe, ippShowProbe } from '../../../src/probes/ipp/ipp.js';
import { rawServer } from '../../net/raw-server.js';
import {
  type Handler,
  HEALTHY,
  HOST,
  healthy,
  ippReply,
  ippServer,
  limits,
  lines,
  sendIpp,
  status,
  target,
  value,
} from './office.js';

const VALIDATE = 0x0004;
const ATTRIBUTES = 0x000b;
const net = createSystemNet();

const printerWith =
  (attributes: IppAttributes, rest: Handler = healthy): Handler =>
  (seen, response) =>
    seen.operation === ATTRIBUTES
      ? sendIpp(
          response,
          ippReply(seen, 0, [{ tag: 'printer-attributes-tag', attributes: { ...HEALTHY, ...attributes } }]),
        )
      : rest(seen, response);

const offers = (...uris: string[]): IppAttributes => ({
  'printer-uri-supported': uris.map((uri) => value('uri', uri)),
  'uri-security-supported': uris.map((uri) => value('keyword', uri.startsWith('ipps') ? 'tls' : 'none')),
});

async function ask(port: number, more = {}, probe = ippProbe): Promise<readonly Observation[]> {
  return probe.run(target({ ippUri: `ipp://${HOST}:${port}/ipp/print` }), net, limits(more));
}

function exchange(all: readonly Observation[], what: string): IppExchangeValue {
  const found = all.find((each) => each.what === what);
  if (found?.source !== 'ipp' || found.value === null) throw new Error(`no ${what}`);
  return found.value;
}

describe('a printer that offers TLS', () => {
  test('is asked on over TLS, and its certificate is recorded', async () => {
    const secured = await ippServer(healthy, true);
    const own = 'printer.example';
    const plain = await ippServer(
      printerWith(offers(`ipp://${own}/ipp/print`, `ipps://${own}:${secured.port}/ipp/print`)),
    );
    const all = await ask(plain.port);
    expect(exchange(all, 'Get-Printer-Attributes').uri).toBe(`ipp://${HOST}:${plain.port}/ipp/print`);
    for (const what of ['Validate-Job', 'Get-Jobs']) {
      expect(exchange(all, what)).toMatchObject({
        uri: `ipps://${HOST}:${secured.port}/ipp/print`,
        tls: { subject: 'CN=printer.example, O=Example' },
      });
    }
    expect(secured.seen).toHaveLength(2);
    expect(plain.seen).toHaveLength(1);
  });

  test('and refuses there what it takes plainly: the plain answer counts, with the certificate that was seen', async () => {
    const secured = await ippServer(status(401), true);
    const plain = await ippServer(printerWith(offers(`ipps://p.example:${secured.port}/ipp/print`)));
    const trial = exchange(await ask(plain.port), 'Validate-Job');
    expect(trial).toMatchObject({ status: 'successful-ok', uri: `ipp://${HOST}:${plain.port}/ipp/print` });
    expect(trial.tls?.validTo).toMatch(/^\d{4}-/);
    expect(trial.tried).toEqual([{ uri: `ipps://${HOST}:${secured.port}/ipp/print`, gave: 'IPP/2.0: HTTP 401' }]);
  });

  test('and never finishes the handshake: half of the time is kept for the plain way, which is then kept to', async () => {
    const mute = await rawServer(() => undefined, HOST);
    const plain = await ippServer(printerWith(offers(`ipps://p.example:${mute.port}/ipp/print`)));
    const all = await ask(plain.port, { timeoutMs: 400, deadlineMs: 1_500 });
    expect(lines(all)).toEqual([
      'ipp Get-Printer-Attributes answered',
      'ipp Validate-Job answered',
      'ipp Get-Jobs answered',
    ]);
    expect(exchange(all, 'Validate-Job').tried).toHaveLength(1);
    expect(exchange(all, 'Get-Jobs').tried).toBeUndefined();
  });

  test('by the security keyword of a plain URI: the same port over TLS', async () => {
    const plain = await ippServer(
      printerWith({
        'printer-uri-supported': [value('uri', 'ipp://p.example:9/ipp/print')],
        'uri-security-supported': [value('keyword', 'tls')],
      }),
    );
    const trial = exchange(await ask(plain.port), 'Validate-Job');
    expect(trial.tried?.[0]?.uri).toBe(`ipps://${HOST}:9/ipp/print`);
  });
});

describe('formats', () => {
  const listed = ['application/octet-stream', 'application/pdf', 'image/urf', 'image/pwg-raster', 'image/urf'];
  const lists = { 'document-format-supported': listed.map((format) => value('mimeMediaType', format)) };

  test('each that the printer lists is tried without a sheet of paper', async () => {
    const { port, seen } = await ippServer(
      printerWith(lists, (one, response) => {
        const format = one.attributes['document-format']?.[0]?.value;
        if (one.operation === VALIDATE && format === 'image/urf') sendIpp(response, ippReply(one, 0x040a));
        else healthy(one, response);
      }),
    );
    const all = await ask(port, { user: 'ana' });
    expect(all.slice(3).map(({ what }) => what)).toEqual([
      'Validate-Job application/pdf',
      'Validate-Job image/urf',
      'Validate-Job image/pwg-raster',
    ]);
    // RFC 8011 appendix B.1.5.11: 0x040a.
    expect(exchange(all, 'Validate-Job image/urf').status).toBe('client-error-document-format-not-supported');
    expect(exchange(all, 'Validate-Job image/pwg-raster').status).toBe('successful-ok');
    const asked = seen.filter(({ operation }) => operation === VALIDATE);
    expect(asked.map(({ attributes }) => attributes['document-format']?.[0]?.value)).toEqual([
      undefined,
      'application/pdf',
      'image/urf',
      'image/pwg-raster',
    ]);
    expect(asked.at(-1)?.attributes['requesting-user-name']?.[0]?.value).toBe('ana');
  });

  test('none is tried where no job would be taken, nor for showing', async () => {
    const refusing = await ippServer(
      printerWith(lists, (one, response) =>
        one.operation === VALIDATE ? sendIpp(response, ippReply(one, 0x0506)) : healthy(one, response),
      ),
    );
    expect(await ask(refusing.port)).toHaveLength(3);
    const willing = await ippServer(printerWith(lists));
    expect(await ask(willing.port, {}, ippShowProbe)).toHaveLength(3);
  });

  test('a slow printer is not asked for long', async () => {
    const { port } = await ippServer(
      printerWith(lists, (one, response) =>
        one.attributes['document-format'] === undefined
          ? healthy(one, response)
          : void setTimeout(() => healthy(one, response), 300),
      ),
    );
    const all = await ask(port, { timeoutMs: 400 });
    expect(all.length).toBeLessThan(6);
  });
});

describe('jobs', () => {
  test('a list that tells only numbers: the job at the head is asked after', async () => {
    const thin: Handler = (seen, response) => {
      const job = (attributes: IppAttributes) => [{ tag: 'job-attributes-tag', attributes }];
      const id = { 'job-id': [value('integer', 7)] };
      if (seen.operation === 0x000a) sendIpp(response, ippReply(seen, 0, job(id)));
      else if (seen.operation === 0x0009) {
        expect(seen.attributes['job-id']?.[0]?.value).toBe(7);
        const reasons = [value('keyword', 'job-hold-until-specified')];
        sendIpp(
          response,
          ippReply(seen, 0, job({ ...id, 'job-state': [value('enum', 4)], 'job-state-reasons': reasons })),
        );
      } else healthy(seen, response);
    };
    const { port } = await ippServer(printerWith({}, thin));
    const jobs = exchange(await ask(port), 'Get-Job-Attributes').jobs;
    expect(jobs?.[0]?.['job-state-reasons']?.[0]?.value).toBe('job-hold-until-specified');
  });
});

describe('a path that only DNS-SD tells', () => {
  const announcing = (port: number, rp: string, reach: 'onlink' | 'routed' = 'onlink'): Net => ({
    ...net,
    route: async () => ({ kind: 'route', reach, interface: 'e0', gateway: null, carrier: true }),
    browse: async () => [
      { name: 'Desk', type: '_ipp._tcp', host: 'd.local', port, addresses: [HOST], txt: { rp } },
      { name: 'Other', type: '_ipp._tcp', host: 'o.local', port: 9, addresses: ['192.0.2.9'], txt: { rp: 'x' } },
    ],
  });

  test('is asked when nothing answers at the usual places', async () => {
    const { port, seen } = await ippServer((one, response) =>
      (one.path === '/odd/place' ? healthy : status(404))(one, response),
    );
    const all = await ippProbe.run(target(), announcing(port, 'odd/place'), limits());
    expect(exchange(all, 'Get-Printer-Attributes').uri).toBe(`ipp://${HOST}:${port}/odd/place`);
    expect(exchange(all, 'Get-Printer-Attributes').tried?.length).toBeGreaterThan(0);
    expect(new Set(seen.map(({ path }) => path))).toEqual(new Set(['/odd/place']));
  });

  test('nobody is listened for beyond the link', async () => {
    const { port, seen } = await ippServer(healthy);
    const all = await ippProbe.run(target(), announcing(port, 'odd/place', 'routed'), limits());
    expect(lines(all)).toEqual(['ipp Get-Printer-Attributes refused']);
    expect(seen).toEqual([]);
  });
});
