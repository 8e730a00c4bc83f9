import type { Config } from '../config/config.js';
import type { SweepDocument } from '../model/sweep.js';
import type { Target } from '../model/target.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';
import { configuredTargets, resolveTarget } from './target.js';

/** What a snapshot is made of: the targets named, else every configured printer, else the printers that a sweep finds. */
export async function targetsForSnapshot(
  typed: readonly string[],
  options: CommonOptions,
  config: Config,
  io: Io,
): Promise<readonly Target[]> {
  if (typed.length > 0) return once(typed.map((target) => resolveTarget(target, config, options)));
  if (config.printers.length > 0) return configuredTargets(config, options);
  const { sweepFor } = await import('./sweep.js');
  return foundTargets(await sweepFor([], options, io), options, config);
}

/** A printer that was named twice, by its name and its address perhaps, is one: the first. */
function once(targets: readonly Target[]): readonly Target[] {
  return targets.filter((target, i) => targets.findIndex((other) => isSame(other, target)) === i);
}

function isSame(a: Target, b: Target): boolean {
  const place = ({ host, snmpPort, deviceIndex }: Target): string =>
    JSON.stringify([host.toLowerCase(), snmpPort, deviceIndex]);
  // One host may serve several printers, each under a URI of its own.
  const apart = a.ippUri !== undefined && b.ippUri !== undefined && a.ippUri !== b.ippUri;
  return place(a) === place(b) && !apart;
}

function foundTargets(found: SweepDocument, options: CommonOptions, config: Config): readonly Target[] {
  return found.found.map((printer) => {
    const ipp = options.ippUri ?? printer.ipp ?? undefined;
    const target = resolveTarget(printer.address, config, {
      ...options,
      ...(ipp === undefined ? {} : { ippUri: ipp }),
    });
    return { ...target, label: printer.name ?? printer.address };
  });
}
