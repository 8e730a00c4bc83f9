import { type DeviceUri, looksLikeUri, readDeviceUri } from '../../model/uri.js';
import type { Net } from '../../net/net.js';
import { parseIppUri } from '../../wire/ipp/uri.js';
import { QUEUE_ATTRIBUTES } from '../ipp/attributes.js';
import { startBudget } from '../ipp/budget.js';
import { isSuccess } from '../ipp/exchange.js';
import { askWithFallback } from '../ipp/fallback.js';
import type { Limits } from '../probe.js';

/** A print queue of a spooler, and the device that it sends to. */
export interface QueueLead {
  /** As the spooler gives it, a password left out. */
  readonly deviceUri: string;
  /** Null where the device has no address of its own: another scheme (usb, file), or a class of several queues. */
  readonly device: DeviceUri | null;
}

/** Where spoolers serve their queues; a printer serves itself elsewhere. Common practice, no published source. */
const QUEUE_PATH = /^\/(printers|classes)\/[^/]+(\/\.printer)?$/i;

/** Whether a URI may name a queue of a spooler rather than a printer. */
export function mayBeQueue(text: string): boolean {
  return looksLikeUri(text) && QUEUE_PATH.test(parseIppUri(text)?.path ?? '');
}

/**
 * Asks one IPP URI whether it is a queue, which it is by having a device URI. Null when it is none, or when nobody
 * answers there.
 */
export async function followQueue(uri: string, net: Net, limits: Limits): Promise<QueueLead | null> {
  const address = parseIppUri(uri);
  if (address === undefined) return null;
  const { answer } = await askWithFallback(net, startBudget(net, limits), address, {
    operation: 'Get-Printer-Attributes',
    version: '2.0',
    requestedAttributes: QUEUE_ATTRIBUTES,
  });
  const { status, attributes } = answer.value;
  const said = attributes['device-uri']?.[0]?.value;
  if (!isSuccess(status) || typeof said !== 'string') return null;
  const device = readDeviceUri(said);
  const several = (attributes['member-names'] ?? []).length > 0;
  return {
    deviceUri: said,
    device: 'wrong' in device || several || isOwnOf(device.host, address.host) ? null : device,
  };
}

/** `localhost` in a spooler's own words is the spooler's host, which from here is another machine. */
function isOwnOf(device: string, spooler: string): boolean {
  const own = (host: string): boolean => /^(localhost|127(\.\d+){3}|::1)$/i.test(host);
  return own(device) && !own(spooler);
}
