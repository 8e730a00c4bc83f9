import type { Alert, PrinterDocument } from '../model/printer.js';
import type { FoundSign } from './evidence.js';

interface Rule {
  readonly when: string;
  /** PrtAlertCodeTC labels (IANA-PRINTER-MIB). */
  readonly code: RegExp;
  /** PrtAlertGroupTC labels; any when absent. */
  readonly group?: RegExp;
  /** printer-state-reasons keywords (RFC 8011, PWG 5100.9) that say the same. */
  readonly reason?: RegExp;
}

/** Alerts that bear on bad pages. A jam's place is the group that reports it. */
const RULES: readonly Rule[] = [
  { when: 'fuser-alert', code: /Fuser(Under|Over|Timing|Thermistor)|^fuserTemp/, reason: /^fuser-(under|over)-temp/ },
  { when: 'pickup-alert', code: /PickRoller|TrayFeedError|InputFeedError/, reason: /pick-roller|feed-error/ },
  { when: 'tray-alert', code: /inputTray(Position|Elevation)Failure/, reason: /tray-(position|elevation)-failure/ },
  {
    when: 'media-alert',
    code: /MediaTypeChange|MediaWeightChange|MediaSizeChange|CannotDuplex|CannotFeedSize/,
    reason: /media-(type|weight|size)-change|cannot-duplex/,
  },
  {
    when: 'memory-alert',
    code: /MemoryExhausted|ComplexPage|ResourceUnavailable/,
    reason: /memory-exhausted|complex-page/,
  },
  { when: 'adjusting', code: /AdjustingPrintQuality/, reason: /adjusting-print-quality/ },
  { when: 'output-full', code: /outputMediaTrayFull|^subunitFull$/, group: /^output$/, reason: /^output-area-full/ },
  { when: 'jam-input', code: /^jam$|MediaTrayJam|InputJam/, group: /^input$/ },
  { when: 'jam-output', code: /^jam$|MediaTrayJam|OutputJam/, group: /^output$|^finDevice$/ },
  { when: 'jam-path', code: /^jam$|Jam$/, group: /^(mediaPath|marker|generalPrinter|other)$/, reason: /^media-jam/ },
];

function fits(alert: Alert, { code, group, reason }: Rule): boolean {
  const byCode = code.test(alert.code) && (group === undefined || group.test(alert.group ?? ''));
  return byCode || (reason?.test(alert.reason ?? '') === true && (group === undefined || alert.group === null));
}

/** What the printer's alert list says of bad pages, each once. */
export function alertSigns({ alerts, state }: Pick<PrinterDocument, 'alerts' | 'state'>): readonly FoundSign[] {
  const found = new Map<string, FoundSign>();
  for (const alert of alerts) {
    const rule = RULES.find((one) => fits(alert, one));
    if (rule === undefined || found.has(rule.when)) continue;
    found.set(rule.when, { when: rule.when, part: alert.component ?? alert.description ?? 'a tray' });
  }
  for (const word of state.reasons) {
    const rule = RULES.find(({ reason }) => reason?.test(word) === true);
    const jamKnown = rule?.when === 'jam-path' && [...found.keys()].some((when) => when.startsWith('jam-'));
    if (rule !== undefined && !found.has(rule.when) && !jamKnown) found.set(rule.when, { when: rule.when });
  }
  return [...found.values()];
}

/** The located symptom that a reported jam stands for. */
export const JAM_PLACES: Readonly<Record<string, string>> = {
  'jam-input': 'jam-at-tray',
  'jam-output': 'jam-at-exit',
};
