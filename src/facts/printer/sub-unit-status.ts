import { SUB_UNIT_AVAILABILITY } from '../../registry/enums.generated.js';

/** PrtSubUnitStatusTC taken apart (RFC 3805 2.2.13.2.2). */
export interface SubUnitStatus {
  /** `availableAndIdle`, `unavailableBecauseBroken` …; `unknown` for the value that the standard leaves open. */
  readonly availability: string;
  readonly nonCriticalAlerts: boolean;
  readonly criticalAlerts: boolean;
  readonly offLine: boolean;
  readonly transitioning: boolean;
}

/** Takes a sub-unit status (prtInputStatus, prtOutputStatus, prtMarkerStatus …) apart; null outside 0..126. */
export function readSubUnitStatus(value: number | null | undefined): SubUnitStatus | null {
  if (value === null || value === undefined || !Number.isInteger(value) || value < 0 || value > 126) return null;
  return {
    availability: SUB_UNIT_AVAILABILITY[value & 7] ?? 'unknown',
    nonCriticalAlerts: (value & 8) !== 0,
    criticalAlerts: (value & 16) !== 0,
    offLine: (value & 32) !== 0,
    transitioning: (value & 64) !== 0,
  };
}
