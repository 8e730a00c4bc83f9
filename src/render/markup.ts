import { forHtml } from './escape.js';

/** HTML that is already safe to show. Only `markup` and `trusted` make it. */
export class Markup {
  constructor(readonly html: string) {}
}

export type Shown = Markup | string | number | readonly Markup[] | null | undefined | false;

/**
 * A template that escapes whatever is put into it, so that forgetting to escape is not possible. Markup goes in as it
 * is, lists of it one after the other; nothing at all for null, undefined and false.
 */
export function markup(strings: TemplateStringsArray, ...values: readonly Shown[]): Markup {
  const parts = strings.map((text, index) => text + (index < values.length ? shown(values[index]) : ''));
  return new Markup(parts.join(''));
}

/** A text of our own that is HTML already: a style sheet, a drawing. Never anything from outside. */
export function trusted(html: string): Markup {
  return new Markup(html);
}

function shown(value: Shown): string {
  if (value === null || value === undefined || value === false) return '';
  if (value instanceof Markup) return value.html;
  if (typeof value === 'number') return String(value);
  if (typeof value === 'string') return forHtml(value);
  return value.map((part) => part.html).join('');
}
