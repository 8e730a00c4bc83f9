/**
 * Runs beside the reference printer, inside its network namespace, with a spooler of its own in front of it, and prints one
 * JSON document: what the queue command says of the ways a job may take.
 */
import { Cupsd } from './cupsd.js';
import { ask, askUntil } from './queue-command.js';

const PRINTER = 'ipp://localhost:631/ipp/print';

const cups = await Cupsd.start('127.0.0.1');
try {
  const queue = (name: string, ...argv: string[]) =>
    cups.tool('lpadmin', '-p', name, '-E', '-v', PRINTER, '-m', 'raw', ...argv);
  await queue('open');
  await queue('choosy', '-u', 'deny:mira');
  await queue('astray', '-v', 'ipp://localhost:632/ipp/print');
  const open = await ask(cups.uri('open'), '--user', 'mira');
  const choosy = await ask(cups.uri('choosy'), '--user', 'mira');
  const astray = await ask(cups.uri('astray'), '--user', 'mira');
  await cups.print('open');
  const { entry: printed } = await askUntil(cups, 'open', ({ jobs }) => jobs.length === 0);
  process.stdout.write(JSON.stringify({ open, choosy, astray, printed }));
} finally {
  await cups.stop();
}
