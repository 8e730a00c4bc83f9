import { Buffer } from 'node:buffer';

/**
 * Universal Exit Language: leaves whatever language the printer is in and begins PJL. ESC % - 1 2 3 4 5 X; the signature
 * is in the signature database of file(1), its meaning is common practice, no published source.
 */
const UEL = '\u001b%-12345X';

/**
 * The one question that is ever sent to a raw port: "what is your state?". Entry into PJL, the question, exit. It holds
 * no page, no setting and no language switch, so there is nothing in it that could be printed or kept.
 */
export function statusRequest(): Buffer {
  return Buffer.from(`${UEL}@PJL \r\n@PJL INFO STATUS\r\n${UEL}`, 'latin1');
}
