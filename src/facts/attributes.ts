import type { IppAttributes } from '../model/evidence.js';

/** Plain values of an IPP attribute: texts and names lose their language, out-of-band values are left out. */
export function valuesOf(attributes: IppAttributes, name: string): (string | number | boolean)[] {
  if (!Object.hasOwn(attributes, name)) return [];
  return (attributes[name] ?? []).flatMap(({ value }) => {
    if (value === null) return [];
    if (typeof value !== 'object') return [value];
    return 'text' in value ? [value.text] : [];
  });
}

/** First value as text, null when absent or empty. */
export function textOf(attributes: IppAttributes, name: string): string | null {
  const first = valuesOf(attributes, name)[0];
  const text = first === undefined ? '' : String(first).trim();
  return text === '' ? null : text;
}

/** First value as a number. */
export function numberOf(attributes: IppAttributes, name: string): number | null {
  const first = valuesOf(attributes, name)[0];
  return typeof first === 'number' ? first : null;
}

/** First value as a boolean. */
export function booleanOf(attributes: IppAttributes, name: string): boolean | null {
  const first = valuesOf(attributes, name)[0];
  return typeof first === 'boolean' ? first : null;
}

function withoutEndNuls(text: string): string {
  let end = text.length;
  while (end > 0 && text[end - 1] === '\0') end -= 1;
  return text.slice(0, end);
}

/** printer-state-reasons and job-state-reasons: some devices send all keywords as one value. */
export function reasonsOf(attributes: IppAttributes, name: string): string[] {
  return [...new Set(keywordsOf(attributes, name).flatMap(keywordsIn))].filter((word) => word !== 'none');
}

/** The keywords of one value: commas and blanks stand in no keyword (RFC 8011 5.1.4), so they part several. */
export function keywordsIn(text: string): string[] {
  return text.split(/[,;\s]+/).filter((word) => word !== '');
}

/** Keywords in lower case, without `none`, doubles and trailing NULs. */
export function keywordsOf(attributes: IppAttributes, name: string): string[] {
  const words = valuesOf(attributes, name).map((v) => withoutEndNuls(String(v)).trim().toLowerCase());
  return [...new Set(words)].filter((word) => word !== '' && word !== 'none');
}
