/** Many made-up printers on loopback, in a process of their own so that their work is not counted. They print: two in a hundred every three seconds. */
import { type RunningDevice, startDevice } from '../../src/demo/running.js';

const count = Number(process.argv[2] ?? 10);
const TURN_MS = 3_000;
const devices: RunningDevice[] = [];
for (let at = 0; at < count; at++) {
  const address = `127.36.${Math.floor(at / 250) + 1}.${(at % 250) + 1}`;
  devices.push(await startDevice({ name: `p${at}`, lifePages: 1000 + at }, { address }));
}

/** The same printer at the same ports, some pages later. */
async function print(at: number, pages: number): Promise<void> {
  const before = devices[at];
  if (before === undefined) return;
  const { name, address, snmpPort, ippPort, rawPort, lpdPort } = before;
  const ports = { snmp: snmpPort ?? 0, ipp: ippPort ?? 0, raw: rawPort ?? 0, lpd: lpdPort ?? 0 };
  await before.close();
  devices[at] = await startDevice({ name, lifePages: pages }, { address, ports });
}

let turn = 0;
const share = Math.ceil(count / 50);
setInterval(async () => {
  for (let n = 0; n < share; n++, turn++) await print(turn % count, 1000 + count + turn);
}, TURN_MS);
process.on('disconnect', () => process.exit(0));
process.send?.(
  devices.map(({ name, address, snmpPort, ippUri, printPorts }) => ({ name, address, snmpPort, ippUri, printPorts })),
);
