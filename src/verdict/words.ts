import type { Cause } from '../ladder/layer.js';
import type { Finding, NextStep } from '../model/layers.js';

/**
 * Fills `{name|fallback}` from a finding. Values may be a printer's own text: they stay as they came, and are made safe
 * where they are shown.
 */
export function fill(template: string, finding: Pick<Finding, 'component' | 'detail'>): string {
  const filled = template.replace(
    /\{([a-z]+)(?:\|([^{}]*))?\}/g,
    (_all, name: string, fallback: string | undefined) => {
      const value = name === 'component' ? finding.component : finding.detail?.[name];
      return value === undefined || value === '' ? (fallback ?? '') : value;
    },
  );
  return filled.charAt(0).toUpperCase() + filled.slice(1);
}

/** Summary of a finding: its cause's sentence, and why it is weighed down where another source contradicts. */
export function summaryOf(cause: Cause | undefined, finding: Finding): string {
  const template = finding.severity === 'warning' ? (cause?.asWarning ?? cause?.summary) : cause?.summary;
  const sentence = template ? fill(template, finding) : finding.cause;
  const note = finding.detail?.note;
  return note ? `${sentence} But ${note}.` : sentence;
}

/** Next steps of a cause. */
export function nextOf(cause: Cause | undefined): readonly NextStep[] {
  return cause?.next ?? [];
}
