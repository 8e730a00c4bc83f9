import type { AcceptsFact } from '../facts/accepts.js';
import { booleanOf, keywordsOf } from '../facts/attributes.js';
import { valuesOf } from '../facts/printer/ipp-values.js';
import type { IppAttributes } from '../model/evidence.js';
import type { PrinterDocument } from '../model/printer.js';
import { ProgramProblem } from '../model/problem.js';
import type { FormatFrom, Route } from '../model/testpage.js';
import { MEDIA_TYPES, PAGE_FORMATS, type PageFormat } from '../testpage/formats.js';
import { SHEETS, type SheetName } from '../testpage/marks.js';
import { DOT_TYPES, type DotFormat } from '../testpage/pwg-raster.js';
import { commandsInclude, namesOf } from '../wire/job/languages.js';

/** What was read of the printer that decides how its page is written. */
export interface PrinterTakes {
  readonly accepts: AcceptsFact | undefined;
  readonly attributes: IppAttributes;
  readonly printer: PrinterDocument | undefined;
}

export interface FormatChosen {
  readonly format: PageFormat;
  /** Media type as the printer spells it, where it does. */
  readonly mediaType: string;
  readonly from: FormatFrom;
}

/**
 * How the page is written: as told; else the first of the page's formats that the printer says it takes. Over IPP document-format-supported
 * says so; over the raw port and LPD first the printer's interpreters, which are what listens there. A spooler takes PDF and
 * makes of it what the printer wants. Where nothing is known: PDF over IPP, where a wrong guess is refused; text over the
 * others, where it would come out as sheets full of signs (common practice, no published source).
 */
export function chooseFormat(via: Route, told: PageFormat | undefined, takes: PrinterTakes): FormatChosen {
  if (told !== undefined) return { format: told, mediaType: spelling(told, takes), from: 'told' };
  if (via === 'queue') return { format: 'pdf', mediaType: MEDIA_TYPES.pdf, from: 'queue' };
  const { accepts } = takes;
  const formats = accepts?.formats ?? [];
  const spoken = via === 'ipp' ? undefined : first((format) => interprets(format, accepts));
  const format =
    spoken ?? first((one) => listed(one, formats) && (one !== 'pwg-raster' || dotsTaken(takes) !== undefined));
  if (format !== undefined) return { format, mediaType: spelling(format, takes), from: 'printer' };
  if (via !== 'ipp') return { format: 'text', mediaType: MEDIA_TYPES.text, from: 'assumed' };
  if (formats.length === 0) return { format: 'pdf', mediaType: MEDIA_TYPES.pdf, from: 'assumed' };
  throw new ProgramProblem(
    'testpage-format',
    `Over IPP it takes ${formats.slice(0, 8).join(', ')}, and the page is made as PDF, PostScript, PWG Raster, PCL 5 or text: choose --via raw, or force one with --format.`,
  );
}

function first(fits: (format: PageFormat) => boolean): PageFormat | undefined {
  return PAGE_FORMATS.find(fits);
}

function interprets(format: PageFormat, accepts: AcceptsFact | undefined): boolean {
  const labels: readonly string[] = namesOf(format).labels;
  return (
    accepts !== undefined &&
    (accepts.labels.some((label) => labels.includes(label)) || commandsInclude(accepts.commands, format))
  );
}

function listed(format: PageFormat, formats: readonly string[]): boolean {
  return formats.includes(MEDIA_TYPES[format].toLowerCase());
}

/** A printer may compare names letter by letter: its own spelling goes back to it. */
function spelling(format: PageFormat, { printer }: PrinterTakes): string {
  const wanted = MEDIA_TYPES[format].toLowerCase();
  return printer?.formats.find((one) => one.toLowerCase() === wanted) ?? MEDIA_TYPES[format];
}

/** Where the printer does not say: what every printer of dots takes. From memory. */
const COMMON_DOTS: DotFormat = { type: 'sgray_8', dpi: { x: 300, y: 300 } };
/** Finer dots than these tell a person no more and make the page slow. Common practice, no published source. */
const ENOUGH_DPI = 600;
const COLOUR_TYPE = 'srgb_8';

export function dotsFor(takes: PrinterTakes): DotFormat {
  return dotsTaken(takes) ?? COMMON_DOTS;
}

/**
 * Dots that the printer says it takes (pwg-raster-document-type-supported and -resolution-supported, PWG 5102.4 section 7): in
 * colour where it prints in colour, the finest up to 600 to the inch. Undefined where it takes none that are made here.
 */
function dotsTaken({ attributes }: PrinterTakes): DotFormat | undefined {
  const types = keywordsOf(attributes, 'pwg-raster-document-type-supported');
  const inColour = booleanOf(attributes, 'color-supported') !== false;
  const wanted = inColour
    ? DOT_TYPES
    : [...DOT_TYPES.filter((type) => type !== COLOUR_TYPE), COLOUR_TYPE as (typeof DOT_TYPES)[number]];
  const type = types.length === 0 ? COMMON_DOTS.type : wanted.find((one) => types.includes(one));
  const offered = valuesOf(attributes, 'pwg-raster-document-resolution-supported').flatMap(({ value }) =>
    typeof value === 'object' &&
    value !== null &&
    'units' in value &&
    value.units === 'dpi' &&
    value.x > 0 &&
    value.y > 0
      ? [{ x: value.x, y: value.y }]
      : [],
  );
  const dpi = finest(offered);
  if (type === undefined || (dpi === undefined && types.length === 0)) return undefined;
  return { type, dpi: dpi ?? COMMON_DOTS.dpi };
}

function finest(offered: readonly DotFormat['dpi'][]): DotFormat['dpi'] | undefined {
  const sorted = [...offered].sort((a, b) => a.x * a.y - b.x * b.y);
  return sorted.filter(({ x, y }) => Math.max(x, y) <= ENOUGH_DPI).at(-1) ?? sorted[0];
}

/** The sheet that lies in the printer, by its own word: what is loaded, else what it takes by default; A4 where it does not say. */
export function sheetFor({ attributes, printer }: PrinterTakes): SheetName {
  const loaded = (printer?.trays ?? []).flatMap(({ media }) => (media === null ? [] : [media]));
  const said = [...keywordsOf(attributes, 'media-ready'), ...loaded, ...keywordsOf(attributes, 'media-default')];
  const names = Object.keys(SHEETS) as SheetName[];
  for (const keyword of said) {
    const found = names.find((name) => keyword.startsWith(SHEETS[name].keyword));
    if (found !== undefined) return found;
  }
  return 'a4';
}
