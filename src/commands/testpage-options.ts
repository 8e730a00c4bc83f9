import { ROUTES, type Route } from '../model/testpage.js';
import { SHEETS, type SheetName } from '../testpage/marks.js';
import type { PageFormat } from '../testpage/page.js';
import { badOption, type CommonOptions } from './options.js';
import type { TestPageArgs } from './testpage.js';

/** Forms of the page, by the word for each. */
export const FORMATS: Readonly<Record<string, PageFormat>> = {
  pdf: 'application/pdf',
  postscript: 'application/postscript',
  text: 'text/plain',
};

/** Reads `--via`. */
export function routeNamed(text: string): Route {
  const route = ROUTES.find((one) => one === text.trim().toLowerCase());
  if (route === undefined) throw badOption('--via', 'ipp, raw, lpd or queue', text);
  return route;
}

/** Reads `--media`. */
export function sheetNamed(text: string): SheetName {
  const name = text.trim().toLowerCase();
  if (!(name in SHEETS)) throw badOption('--media', 'a4 or letter', text);
  return name as SheetName;
}

/** Reads `--format`. */
export function formatNamed(text: string): PageFormat {
  const format = FORMATS[text.trim().toLowerCase()];
  if (format === undefined) throw badOption('--format', 'pdf, postscript or text', text);
  return format;
}

/** The options of `testpage`. */
export function testPageArgs(
  target: string,
  given: Readonly<Record<string, unknown>>,
  options: CommonOptions,
): TestPageArgs {
  const { via, print, out, media, format } = given;
  return {
    target,
    via: via as Route,
    print: print === true,
    media: media as SheetName,
    ...(typeof out === 'string' ? { out } : {}),
    ...(format === undefined ? {} : { format: format as PageFormat }),
    options,
  };
}
