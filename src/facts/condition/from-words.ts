import type { PrinterDocument } from '../../model/printer.js';
import type { PrinterFact } from '../fact.js';
import { DISPLAY_WORDS } from './display-words.js';
import { type Signal, signal } from './signal.js';

/** prtAlertDescription and a line of a panel have 255 octets (RFC 3805); printer-state-message 1023 (RFC 8011 5.4.13), of which the beginning tells. */
const LONGEST = 512;

/** Lines that a panel shows for the same message are read together as well: "Load paper" may stand over "in tray 1". */
function spoken({ console: lines, state, alerts }: PrinterDocument): readonly string[] {
  const critical = alerts.filter((alert) => alert.severity === 'critical').flatMap((alert) => alert.description ?? []);
  const texts = [...critical, ...(state.message == null ? [] : [state.message]), ...lines, lines.join(' ')];
  return texts.map((text) => text.slice(0, LONGEST));
}

/**
 * What a stopped printer says in words alone: the text of a critical alert, printer-state-message (RFC 8011 5.4.13), the panel's
 * display (prtConsoleDisplayBufferText, RFC 3805). Words are for people, so they count only where no keyword, code or bit gives a
 * reason, and never as sure.
 */
export function wordSignals(printer: PrinterFact): readonly Signal[] {
  const texts = spoken(printer.document);
  const found = DISPLAY_WORDS.find(({ says }) => texts.some((text) => says.test(text)));
  if (found === undefined) return [];
  const { evidence } = printer;
  const description = texts.find((text) => found.says.test(text)) ?? null;
  return [
    signal({
      reason: found.reason,
      group: found.group,
      weight: 'stop',
      certainty: 'likely',
      witness: 'words',
      description,
      evidence: [...new Set([...(evidence.console ?? []), ...(evidence.alerts ?? []), ...(evidence.state ?? [])])],
    }),
  ];
}
