import { Buffer } from 'node:buffer';

/** RFC 1179 5.3 and 5.4. */
const COMMAND = { short: 3, long: 4 } as const;
export type StateForm = keyof typeof COMMAND;

/** RFC 1179 section 7 keeps operands to visible US-ASCII, white space parts them. A longer name is none. */
const NAME = /^[\u0021-\u007e]{1,255}$/;

/** True when a name can stand in a command: no blank, line end or control character could begin another command. */
export function isQueueName(name: string): boolean {
  return NAME.test(name);
}

/**
 * "Send queue state" (RFC 1179 5.3 short, 5.4 long): command octet, queue, SP, an empty list, LF. Asks only; no other
 * command of the protocol is ever made here. Undefined for a name that can't be sent.
 */
export function stateRequest(queue: string, form: StateForm): Buffer | undefined {
  if (!isQueueName(queue)) return undefined;
  return Buffer.concat([Buffer.from([COMMAND[form]]), Buffer.from(`${queue} \n`, 'latin1')]);
}
