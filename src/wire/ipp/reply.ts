import type { IppAttributes } from '../../model/evidence.js';
import { STATUS_NAMES } from '../../registry/ipp.generated.js';
import { type DeviationName, deviationSentence } from './deviations.js';
import type { IppOperation } from './encode-request.js';
import type { IppGroup, IppMessage } from './message.js';
import { hexNumber } from './values.js';

/** A reply by its meaning (RFC 8011 4.1). */
export interface IppReply {
  readonly version: string;
  /** Registered keyword, or `0x....`. */
  readonly status: string;
  readonly statusCode: number;
  readonly statusMessage?: string;
  /** Printer attributes where there are any, else the operation attributes. */
  readonly attributes: IppAttributes;
  /** One record for each job-attributes group, empty ones too; only for operations that give jobs. */
  readonly jobs?: readonly IppAttributes[];
  /** One record for each subscription or event notification group (RFC 3995, RFC 3996), for operations that give those. */
  readonly notices?: readonly IppAttributes[];
  /** Names in the unsupported-attributes group. */
  readonly unsupported?: readonly string[];
  readonly problems: readonly string[];
}

const NO_ATTRIBUTES: IppAttributes = Object.freeze(Object.create(null) as IppAttributes);

const NOTICE_GROUPS: Readonly<Partial<Record<IppOperation, string>>> = {
  'Create-Printer-Subscriptions': 'subscription-attributes-tag',
  'Get-Notifications': 'event-notification-attributes-tag',
};
const GIVES_JOBS: ReadonlySet<string> = new Set(['Get-Jobs', 'Get-Job-Attributes', 'Print-Job']);

/** Sorts the groups of a reply to `asked` into what the operation is said to give. */
export function readReply(
  message: IppMessage,
  asked: { readonly operation: IppOperation; readonly requestId: number },
): IppReply {
  const problems = [...message.problems];
  const note = (name: DeviationName, at: string) => problems.push(deviationSentence(name, at));
  const operation = joined(message.groups, 'operation-attributes-tag', note);
  const status = STATUS_NAMES[message.code];
  if (status === undefined) note('status-unknown', hexNumber(message.code, 4));
  if (message.requestId !== asked.requestId) note('request-id-other', `${message.requestId}, not ${asked.requestId}`);
  const [first, second] = Object.keys(message.groups[0]?.attributes ?? {});
  if (first !== 'attributes-charset' || second !== 'attributes-natural-language') note('charset-not-first', '');
  const text = statusMessage(operation);
  const notices = NOTICE_GROUPS[asked.operation];
  const unsupported = Object.keys(joined(message.groups, 'unsupported-attributes-tag', note) ?? {});
  return {
    version: message.version,
    status: status ?? hexNumber(message.code, 4),
    statusCode: message.code,
    ...(text === undefined ? {} : { statusMessage: text }),
    attributes: joined(message.groups, 'printer-attributes-tag', note) ?? operation ?? NO_ATTRIBUTES,
    ...(GIVES_JOBS.has(asked.operation) ? { jobs: attributesOf(message.groups, 'job-attributes-tag') } : {}),
    ...(notices === undefined ? {} : { notices: attributesOf(message.groups, notices) }),
    ...(unsupported.length > 0 ? { unsupported } : {}),
    problems,
  };
}

function attributesOf(groups: readonly IppGroup[], tag: string): readonly IppAttributes[] {
  return groups.filter((group) => group.tag === tag).map((group) => group.attributes);
}

/** The one group of its kind; where a reply has several, what the first lacks is taken from the later ones. */
function joined(
  groups: readonly IppGroup[],
  tag: string,
  note: (name: DeviationName, at: string) => void,
): IppAttributes | undefined {
  const [first, ...later] = groups.filter((group) => group.tag === tag);
  if (first === undefined || later.length === 0) return first?.attributes;
  note('group-repeated', tag);
  const all = Object.create(null) as Record<string, IppAttributes[string]>;
  for (const group of [first, ...later]) {
    for (const [name, values] of Object.entries(group.attributes)) all[name] ??= values;
  }
  return all;
}

function statusMessage(operation: IppAttributes | undefined): string | undefined {
  const value = operation?.['status-message']?.[0]?.value;
  if (typeof value === 'string') return value;
  return typeof value === 'object' && value !== null && 'text' in value ? value.text : undefined;
}
