const UNITS: Readonly<Record<string, number>> = { s: 1_000, m: 60_000, h: 3_600_000, d: 86_400_000 };

/** A duration of the configuration: a whole number and one of s, m, h, d. */
export const DURATION = /^(\d{1,6})\s?([smhd])$/;

/** `90s`, `5m`, `6h`, `30d` → milliseconds; undefined for anything else and for nothing at all (`0s`). */
export function durationMs(text: string): number | undefined {
  const match = DURATION.exec(text.trim());
  const unit = UNITS[match?.[2] ?? ''];
  const count = Number(match?.[1] ?? 0);
  return unit === undefined || count === 0 ? undefined : count * unit;
}
