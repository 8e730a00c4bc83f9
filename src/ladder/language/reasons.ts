import type { ReasonRule } from '../signals.js';

/** printer-state-reasons keywords (RFC 8011, PWG 5100.9) of the page that was sent. */
export const LANGUAGE_REASONS: readonly ReasonRule[] = [
  { cause: 'page-too-complex', match: /complex-page-encountered$/ },
  { cause: 'format-unsupported', match: /^interpreter-resource-unavailable$/ },
];
