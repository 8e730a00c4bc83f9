import { Buffer } from 'node:buffer';
import type { Net, TcpEnd, TcpExchange, TcpExchangeResult } from '../../src/net/net.js';
import { lpdProbe } from '../../src/probes/lpd/lpd.js';
import { pjlProbe } from '../../src/probes/pjl/pjl.js';
import type { Probe } from '../../src/probes/probe.js';
import { mutate } from './mutate.js';
import { ADDRESS, type Case, type FuzzTarget, mustBeSound } from './target.js';

/** The usual forms: common practice, no published source. */
const PJL = [
  '@PJL INFO STATUS\r\nCODE=10001\r\nDISPLAY="00 READY"\r\nONLINE=TRUE\r\n\f',
  '@PJL USTATUS DEVICE\r\nCODE=40021\r\nDISPLAY="DOOR OPEN"\r\nONLINE=FALSE\r\n\f@PJL INFO STATUS\r\nCODE=41304\r\nDISPLAY="TRAY 3"\r\n\f',
].map((text) => Buffer.from(text, 'latin1'));
const LPD = [
  'plotter is ready and printing\nRank   Owner      Job  Files                        Total Size\nactive mira       12   report.ps                    20480 bytes\n1st    otto       13   plan of the pier.pdf         1048576 bytes\n',
  'plotter is ready\n\nmira: active                             [job 012harbour.example]\n        report.ps                        20480 bytes\n\notto: 1st                                [job 013quay.example]\n        plan.pdf                         1048576 bytes\n',
  'no entries\n',
].map((text) => Buffer.from(text, 'latin1'));
const ENDS: readonly TcpEnd[] = ['closed', 'complete', 'too-long', 'deadline', 'broken'];

/** Gives the mutated reply in pieces, as a socket does: the question whether it is whole is asked after each. */
function exchange(request: TcpExchange, seeds: readonly Buffer[], { draw, served }: Case): TcpExchangeResult {
  const octets = mutate(seeds[draw(seeds.length)] ?? Buffer.alloc(0), draw, seeds).subarray(0, request.maxBytes);
  served.push(octets);
  let received = octets;
  for (let end = draw(16) + 1; end < octets.length; end += 1 + draw(64)) {
    if (request.isComplete?.(octets.subarray(0, end)) !== true) continue;
    received = octets.subarray(0, end);
    break;
  }
  const outcome = received.length > 0 ? 'answered' : 'silent';
  return { outcome, connected: draw(20) > 0, received, end: ENDS[draw(ENDS.length)] ?? 'closed', tookMs: 1 };
}

async function ask(probe: Probe, seeds: readonly Buffer[], one: Case): Promise<void> {
  const net = {
    now: () => new Date(),
    monotonic: () => performance.now(),
    tcpExchange: async (request) => exchange(request, seeds, one),
  } as Partial<Net> as Net;
  const target = {
    label: 'desk',
    host: ADDRESS,
    snmpPort: 161,
    printPorts: [],
    queues: [],
    pjl: { port: 9100 },
    lpdQueues: [{ uri: `lpd://${ADDRESS}/plotter`, port: 515, queue: 'plotter' }],
  };
  const records = await probe.run(target, net, { timeoutMs: 1000, retries: 0, deadlineMs: 3000, credentials: [] });
  mustBeSound(records);
}

export const pjlTarget: FuzzTarget = { name: 'pjl', share: 0.07, run: (one) => ask(pjlProbe, PJL, one) };
export const lpdTarget: FuzzTarget = { name: 'lpd', share: 0.07, run: (one) => ask(lpdProbe, LPD, one) };
