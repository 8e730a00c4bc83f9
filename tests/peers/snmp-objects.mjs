// Serves objects to the system's SNMP agent by its pass_persist protocol: one line each of `OID type value`, in order.
import { readFileSync } from 'node:fs';
import { createInterface } from 'node:readline';

const objects = readFileSync(process.argv[2], 'utf8')
  .split('\n')
  .filter((line) => line !== '')
  .map((line) => {
    const [oid, type, ...value] = line.split(' ');
    return { oid, numbers: oid.split('.').slice(1).map(Number), type, value: value.join(' ') };
  });
const byOid = new Map(objects.map((object) => [object.oid, object]));

function follows(object, numbers) {
  for (let i = 0; i < Math.min(object.numbers.length, numbers.length); i++)
    if (object.numbers[i] !== numbers[i]) return object.numbers[i] > numbers[i];
  return object.numbers.length > numbers.length;
}

function say(object) {
  process.stdout.write(object === undefined ? 'NONE\n' : `${object.oid}\n${object.type}\n${object.value}\n`);
}

let command = '';
for await (const line of createInterface({ input: process.stdin })) {
  if (line === 'PING') process.stdout.write('PONG\n');
  else if (command === '') command = line;
  else {
    const oid = line.startsWith('.') ? line : `.${line}`;
    const numbers = oid.split('.').slice(1).map(Number);
    say(command === 'get' ? byOid.get(oid) : objects.find((object) => follows(object, numbers)));
    command = '';
  }
}
