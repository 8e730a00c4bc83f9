import { REASON_BY_CODE, REASON_BY_GROUP_AND_CODE, SUFFIX_BY_SEVERITY } from '../../registry/reasons.generated.js';

/**
 * The printer-state-reasons keyword that an alert stands for (PWG 5100.9), with the suffix of its severity.
 * A generic code means what its group makes of it: `subunitEmpty` of an input is `media-empty`.
 * Numbers are those of PrtAlertCodeTC, PrtAlertGroupTC and PrtAlertSeverityLevelTC. Null when the code has no keyword.
 */
export function alertReason(code: number | null, group: number | null, severity: number | null): string | null {
  if (code === null) return null;
  const keyword = REASON_BY_GROUP_AND_CODE[`${group}:${code}`] ?? REASON_BY_CODE[code];
  if (keyword === undefined) return null;
  return keyword + (severity === null ? '' : (SUFFIX_BY_SEVERITY[severity] ?? ''));
}
