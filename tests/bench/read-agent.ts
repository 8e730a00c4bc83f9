/**
 * The printer of the reading bench in a process of its own: `ADDRESS DELAY_MS ONE_AT_A_TIME`. Tells its port, and its
 * requests when asked.
 */
import { createSocket } from 'node:dgram';
import { setTimeout as delay } from 'node:timers/promises';
import { integer } from '../net/ber.js';
import { honest, readRequest, Tree } from '../net/snmp-agent.js';
import { printerObjects } from '../net/snmp-printer.js';

const [address = '127.0.0.1', delayMs = '0', serial = 'no'] = process.argv.slice(2);
/** Counters of the IP and SNMP groups (RFC 4293, RFC 3418), which a walk reads and a diagnosis has no use for. */
const COUNTERS = ['1.3.6.1.2.1.4', '1.3.6.1.2.1.11'].flatMap((group) =>
  Array.from({ length: 30 }, (_, at) => [`${group}.${at + 1}.0`, integer(at * 1000, 0x41)] as const),
);
const tree = new Tree({ ...printerObjects(), ...Object.fromEntries(COUNTERS) });
const socket = createSocket('udp4');
let requests = 0;
let before = Promise.resolve();

socket.on('message', (bytes, from) => {
  requests++;
  const answer = async () => {
    if (delayMs !== '0') await delay(Number(delayMs));
    const reply = honest(tree, readRequest(bytes));
    if (reply) socket.send(reply, from.port, from.address);
  };
  if (serial === 'yes') before = before.then(answer);
  else void answer();
});
process.on('message', () => {
  process.send?.({ requests, objects: tree.size });
  requests = 0;
});
process.on('disconnect', () => process.exit(0));
socket.bind(0, address, () => process.send?.({ port: socket.address().port }));
