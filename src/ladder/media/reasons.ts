import type { ReasonRule } from '../signals.js';

/** printer-state-reasons keywords (RFC 8011, PWG 5100.9, PWG 5107.3) of paper in and paper out. */
export const MEDIA_REASONS: readonly ReasonRule[] = [
  { cause: 'media-empty', match: /^(media-empty|media-path-input-empty)$/ },
  { cause: 'media-empty', match: /^subunit-empty$/, groups: ['input'] },
  { cause: 'media-needed', match: /^media-needed$|input-request$|^input-manual-input-request$|cannot-(feed|duplex)/ },
  { cause: 'tray-missing', match: /^(input|output|media-path-media)-tray-missing$/ },
  { cause: 'tray-missing', match: /^subunit-missing$/, groups: ['input', 'output', 'mediaPath'] },
  { cause: 'output-full', match: /^(output-area-full|media-path-media-tray-full|media-path-output-full)$/ },
  { cause: 'output-full', match: /^subunit-full$/, groups: ['output', 'mediaPath'] },
  { cause: 'media-low', match: /^(media-low)$/ },
  { cause: 'media-low', match: /^subunit-almost-empty$/, groups: ['input'] },
  { cause: 'output-nearly-full', match: /^(output-area-almost-full|media-path-media-tray-almost-full)$/ },
  { cause: 'output-nearly-full', match: /^subunit-almost-full$/, groups: ['output', 'mediaPath'] },
];
