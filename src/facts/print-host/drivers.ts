import { type HostQueue, isDenied, type PrintHostReport } from '../../model/print-host.js';
import { listOf } from '../../printhost/history.js';
import { meaningOf } from '../../printhost/meaning.js';

export interface DriverProblem {
  readonly problem: 'missing' | 'wrong-architecture' | null;
  readonly has: string;
  readonly wants: string;
}

/** Environment of the drivers that a system of some architecture loads (MS-RPRN 2.2.4.4), by PROCESSOR_ARCHITECTURE. */
const ENVIRONMENTS: Readonly<Record<string, string>> = {
  AMD64: 'Windows x64',
  X86: 'Windows NT x86',
  ARM64: 'Windows ARM64',
  IA64: 'Windows IA64',
};
const WORDS: Readonly<Record<string, string>> = {
  'Windows x64': '64-bit (x64)',
  'Windows NT x86': '32-bit (x86)',
  'Windows ARM64': '64-bit (ARM64)',
  'Windows IA64': '64-bit (Itanium)',
};
const words = (environment: string): string => WORDS[environment] ?? environment;
/** A driver names its help, which nothing is printed with and which many hosts never install. Common practice, no published source. */
const HELP_FILE = /\.(hlp|chm|cnt)$/i;
const NO_PROBLEM: DriverProblem = { problem: null, has: '', wants: '' };

/**
 * Whether the driver that a queue names is there, whole, and made for its host. Nothing is said where drivers or system could
 * not be read: a list that was denied is not an empty one.
 */
export function driverProblem(queue: HostQueue, report: PrintHostReport): DriverProblem {
  const { drivers, system } = report;
  if (isDenied(drivers)) return saidMissing(queue, report);
  const own = drivers.filter((driver) => driver.name.toLowerCase() === queue.driverName.toLowerCase());
  if (own.length === 0) return { problem: 'missing', has: 'not installed', wants: queue.driverName };
  const wanted = isDenied(system) ? undefined : ENVIRONMENTS[system.osArchitecture.toUpperCase()];
  if (wanted === undefined) return NO_PROBLEM;
  const fitting = own.filter((driver) => driver.environment.toLowerCase() === wanted.toLowerCase());
  if (fitting.length === 0) {
    return {
      problem: 'wrong-architecture',
      has: own.map((driver) => words(driver.environment)).join(', '),
      wants: words(wanted),
    };
  }
  const absent = fitting.flatMap((driver) => (isDenied(driver.missingFiles) ? [] : driver.missingFiles));
  const first = absent.find((file) => !HELP_FILE.test(file));
  return first === undefined
    ? NO_PROBLEM
    : { problem: 'missing', has: `without its file ${first}`, wants: queue.driverName };
}

/** Where the list of drivers is not to be had, the service's own word that it found none for this queue. */
function saidMissing(queue: HostQueue, { events }: PrintHostReport): DriverProblem {
  const said = listOf(events).some((event) => {
    const meaning = meaningOf(event);
    return meaning?.kind === 'driver-absent' && meaning.queue?.toLowerCase() === queue.name.toLowerCase();
  });
  return said ? { problem: 'missing', has: 'not found by the print service', wants: queue.driverName } : NO_PROBLEM;
}
