/** Many made-up printers on loopback, in a process of their own so that their work is not counted. */
import { startDevice } from '../../src/demo/running.js';

const count = Number(process.argv[2] ?? 10);
const devices = [];
for (let at = 0; at < count; at++) {
  const address = `127.36.${Math.floor(at / 250) + 1}.${(at % 250) + 1}`;
  const device = await startDevice({ name: `p${at}`, lifePages: 1000 + at }, { address });
  devices.push({
    name: device.name,
    address,
    snmpPort: device.snmpPort,
    ippUri: device.ippUri,
    printPorts: device.printPorts,
  });
}
process.on('disconnect', () => process.exit(0));
process.send?.(devices);
