import { ROUTES, type Route } from '../model/testpage.js';
import { PAGE_FORMATS, type PageFormat } from '../testpage/formats.js';
import { SHEETS, type SheetName } from '../testpage/marks.js';
import { badOption, type CommonOptions } from './options.js';
import type { TestPageArgs } from './testpage.js';

/** Other words for the same. */
const ALSO: Readonly<Record<string, PageFormat>> = {
  ps: 'postscript',
  raster: 'pwg-raster',
  pcl: 'pcl5',
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
  if (!Object.hasOwn(SHEETS, name)) throw badOption('--media', 'a4 or letter', text);
  return name as SheetName;
}

/** Reads `--format`. */
export function formatNamed(text: string): PageFormat {
  const word = text.trim().toLowerCase();
  const format = PAGE_FORMATS.find((one) => one === word) ?? (Object.hasOwn(ALSO, word) ? ALSO[word] : undefined);
  if (format === undefined) throw badOption('--format', 'pdf, postscript, pwg-raster, pcl5 or text', text);
  return format;
}

/** Reads `--came-out`. */
export function cameOutNamed(text: string): boolean {
  const word = text.trim().toLowerCase();
  if (word !== 'yes' && word !== 'no') throw badOption('--came-out', 'yes or no', text);
  return word === 'yes';
}

/** The options of `testpage`. */
export function testPageArgs(
  target: string,
  given: Readonly<Record<string, unknown>>,
  options: CommonOptions,
): TestPageArgs {
  const { via, print, out, media, format, save, cameOut } = given;
  return {
    target,
    via: via as Route,
    print: print === true,
    ...(typeof out === 'string' ? { out } : {}),
    ...(typeof save === 'string' ? { save } : {}),
    ...(typeof cameOut === 'boolean' ? { cameOut } : {}),
    ...(media === undefined ? {} : { media: media as SheetName }),
    ...(format === undefined ? {} : { format: format as PageFormat }),
    options,
  };
}
