import type { ReasonRule } from '../signals.js';

const MARKING: readonly string[] = ['marker', 'markerSupplies', 'markerColorant'];

/** printer-state-reasons keywords (RFC 8011, PWG 5100.9) of toner, ink, waste boxes and parts that wear. */
export const SUPPLY_REASONS: readonly ReasonRule[] = [
  { cause: 'waste-nearly-full', match: /waste.*almost-full$/ },
  { cause: 'waste-full', match: /waste.*full$/ },
  {
    cause: 'supply-missing',
    match: /(toner|ink|supply|developer|opc|cleaner|ribbon|waste|cartridge).*missing$|^marker-missing$/,
  },
  {
    cause: 'supply-not-accepted',
    match:
      /supply-failure$|(supply|cartridge|toner|ink).*(invalid|unsupported|incompatible|not-accepted|rejected|mismatch|unauthorized)/,
  },
  { cause: 'part-near-end', match: /life-almost-over$|near-eol$|life-warn$|near-limit$/ },
  { cause: 'part-worn-out', match: /life-over$/ },
  { cause: 'supply-low', match: /(toner|supply|developer|ink|ribbon).*(-low|almost-empty)$/ },
  { cause: 'supply-empty', match: /(toner|supply|developer|ink|ribbon).*empty$/ },
  { cause: 'supply-low', match: /^subunit-almost-empty$/, groups: MARKING },
  { cause: 'supply-empty', match: /^subunit-empty$/, groups: MARKING },
  { cause: 'waste-nearly-full', match: /^subunit-almost-full$/, groups: MARKING },
  { cause: 'waste-full', match: /^subunit-full$/, groups: MARKING },
  { cause: 'supply-missing', match: /^subunit-missing$/, groups: MARKING },
];
