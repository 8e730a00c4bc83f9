import type { Target } from '../model/target.js';
import { looksLikeUri } from '../model/uri.js';
import type { Net } from '../net/net.js';
import type { Limits } from '../probes/probe.js';
import { followQueue, mayBeQueue, type QueueLead } from '../probes/spooler/follow.js';
import { forTerminal } from '../render/escape.js';

/** Where a TARGET leads that is a print queue: the target to ask in its place, and the sentence that says so. */
export interface BehindQueue {
  readonly target: Target;
  readonly remark: string;
}

/**
 * A TARGET that is the URI of a spooler's queue stands for the device behind it, with the queue on the way to it. Takes
 * one look at the queue. Null when TARGET is no such URI, or the look shows no queue.
 */
export async function behindQueue(
  typed: string,
  target: Target,
  net: Net,
  limits: Limits,
): Promise<BehindQueue | null> {
  const uri = typed.trim();
  if (!looksLikeUri(uri) || !mayBeQueue(uri)) return null;
  const lead = await followQueue(uri, net, limits);
  return lead === null ? null : { target: targetOf(uri, target, lead), remark: remarkOn(uri, lead) };
}

function targetOf(uri: string, target: Target, { device, deviceUri }: QueueLead): Target {
  const queues = [...new Set([uri, ...target.queues])];
  if (device === null) return { ...target, queues };
  const { ippUri: _queue, ...rest } = target;
  const speaksIpp = device.scheme === 'ipp' || device.scheme === 'ipps';
  return {
    ...rest,
    host: device.host,
    queues,
    printPorts: [...new Set([...target.printPorts, device.port])],
    ...(speaksIpp ? { ippUri: deviceUri } : {}),
  };
}

function remarkOn(uri: string, { device, deviceUri }: QueueLead): string {
  const queue = `${forTerminal(uri, 200)} is a print queue that sends to ${forTerminal(deviceUri, 200)}`;
  return device === null
    ? `${queue}, which has no address to ask: what follows is what the queue itself tells.`
    : `${queue}, the device that the following is about.`;
}
