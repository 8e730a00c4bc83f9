import type { ReasonRule } from '../signals.js';

/** printer-state-reasons keywords (RFC 8011, PWG 5100.9, PWG 5107.3) of the device layer. */
export const DEVICE_REASONS: readonly ReasonRule[] = [
  { cause: 'cover-open', match: /(^|-)(cover-open|door-open)$/ },
  { cause: 'cover-open', match: /^subunit-opened$|^marker-opened$/ },
  { cause: 'interlock-open', match: /(^|-)interlock-open$/ },
  { cause: 'media-jam', match: /(^|-)jam$|(^|-)feed-error$/ },
  { cause: 'paused', match: /^(paused|moving-to-paused)$/ },
  { cause: 'offline', match: /^(offline|shutdown|subunit-offline|deactivated)$|-offline$/ },
  { cause: 'fuser-fault', match: /fuser-(over|under)-temp|fuser.*(temp|timing|thermistor|failure|missing)/ },
  { cause: 'overheated', match: /over-temp/ },
  { cause: 'starting-up', match: /warming-up$|under-temperature$|^printer-(manual|nms)-reset$/ },
  { cause: 'memory-short', match: /memory-exhausted$/ },
  { cause: 'storage-full', match: /^(storage-full|storage-almost-full|spool-area-full)$/ },
  {
    cause: 'service-needed',
    // A supply's own failure is a matter of the supplies. "Storage" is an error of it (PrtAlertCodeTC 31 and 32), not a full one.
    match:
      /(?<!-supply-)failure$|recoverable-storage(-error)?$|^service-requested$|^maintenance-overdue$|(at-limit|turned-off|calibration|thermistor)/i,
  },
  { cause: 'stopped', match: /^(stopped|timed-out|stopping)$/ },
];
