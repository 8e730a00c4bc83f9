import { Buffer } from 'node:buffer';
import { isQueueName } from './request.js';

export interface LpdJob {
  readonly queue: string;
  /** Name of this machine, as it stands in the control file. */
  readonly host: string;
  readonly user: string;
  /** What is printed on a banner, if the queue prints one. */
  readonly title: string;
  /** 0 to 999. */
  readonly number: number;
  readonly data: Buffer;
}

/** What is sent before each wait for the one octet that says yes (0) or no (anything else). */
export interface LpdStep {
  readonly what: string;
  readonly send: Buffer;
}

const LINE = /[^\x21-\x7e]/g;

/**
 * "Receive a printer job" (RFC 1179 section 5.2, 6.2, 6.3, 7): the queue, the data file, the control file; the data goes first, as
 * section 6 lets it. `l` prints the data as it is. Undefined for a queue name that can't be sent.
 */
export function jobSteps({ queue, host, user, title, number, data }: LpdJob): readonly LpdStep[] | undefined {
  if (!isQueueName(queue)) return undefined;
  const name = `${String(number % 1000).padStart(3, '0')}${host.replace(LINE, '-').slice(0, 31)}`;
  const lines = [
    `H${host.slice(0, 31)}`,
    `P${user.slice(0, 31)}`,
    `J${title.slice(0, 99)}`,
    `ldfA${name}`,
    `UdfA${name}`,
    `N${title.slice(0, 131)}`,
  ];
  const control = Buffer.from(`${lines.map((line) => line.replace(LINE, '-')).join('\n')}\n`, 'latin1');
  const command = (code: number, words: string): Buffer =>
    Buffer.concat([Buffer.from([code]), Buffer.from(`${words}\n`, 'latin1')]);
  const file = (content: Buffer): Buffer => Buffer.concat([content, Buffer.from([0])]);
  return [
    { what: 'the queue', send: command(2, queue) },
    { what: 'the length of the page', send: command(3, `${data.length} dfA${name}`) },
    { what: 'the page', send: file(data) },
    { what: 'the length of the control file', send: command(2, `${control.length} cfA${name}`) },
    { what: 'the control file', send: file(control) },
  ];
}
