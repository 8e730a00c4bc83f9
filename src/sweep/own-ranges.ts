import { ProgramProblem } from '../model/problem.js';
import type { OwnSubnet } from '../net/net.js';
import { blockOf, isPrivate, toNumber, toText } from './space.js';

/** The widest own subnet that is swept unasked: 1,022 hosts. */
const WIDEST_BITS = 22;

export interface OwnRanges {
  readonly names: readonly string[];
  /** What was narrowed or left out, one sentence each. */
  readonly remarks: readonly string[];
}

/**
 * What is swept when no range is named: the machine's own private IPv4 subnets. Of a subnet wider than /22 only the /22
 * around the machine's own address. An IPv6 subnet has too many addresses to be counted through; its printers are heard
 * by DNS-SD.
 * @throws ProgramProblem when the machine has no such subnet
 */
export function ownRanges(subnets: readonly OwnSubnet[]): OwnRanges {
  const names: string[] = [];
  const remarks: string[] = [];
  for (const subnet of subnets) {
    const bits = Number(subnet.cidr.split('/')[1]);
    const number = toNumber(subnet.address);
    if (number?.family !== 4 || !Number.isInteger(bits)) continue;
    const block = blockOf(subnet.address, bits);
    const network = `${toText(4, block.first)}/${bits}`;
    if (!isPrivate(block)) {
      remarks.push(`The own subnet ${network} is public address space and was left out.`);
    } else if (bits < WIDEST_BITS) {
      const part = `${toText(4, blockOf(subnet.address, WIDEST_BITS).first)}/${WIDEST_BITS}`;
      names.push(part);
      remarks.push(`The own subnet ${network} is wide: only ${part} was swept; name a range for more.`);
    } else {
      names.push(network);
    }
  }
  if (names.length === 0) {
    throw new ProgramProblem(
      'no-own-subnet',
      'This machine has no private subnet of its own to sweep: name a range, such as 192.0.2.0/24.',
    );
  }
  return { names: [...new Set(names)], remarks };
}
