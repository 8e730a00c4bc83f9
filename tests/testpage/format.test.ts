import { describe, expect, test } from 'vitest';
import { chooseFormat, dotsFor, type PrinterTakes, sheetFor } from '../../src/commands/testpage-format.js';
import type { IppAttributes } from '../../src/model/evidence.js';

const NOTHING: PrinterTakes = { accepts: undefined, printer: undefined, attributes: {} };

function takes(
  said: {
    readonly formats?: readonly string[];
    readonly labels?: readonly string[];
    readonly commands?: readonly string[];
  },
  attributes: IppAttributes = {},
): PrinterTakes {
  const { formats = [], labels = [], commands = [] } = said;
  return { ...NOTHING, attributes, accepts: { formats, labels, commands, labelsOpen: false, evidence: [] } };
}
const words = (...values: readonly string[]) => values.map((value) => ({ tag: 'keyword', value }));
const resolutions = (...values: readonly (readonly [number, number])[]) =>
  values.map(([x, y]) => ({ tag: 'resolution', value: { x, y, units: 'dpi' } }));
const RASTER = {
  'pwg-raster-document-type-supported': words('black_1', 'sgray_8', 'srgb_8'),
  'pwg-raster-document-resolution-supported': resolutions([300, 300], [600, 600], [1200, 1200]),
};

describe('over IPP: the first of PDF, PostScript, PWG Raster, PCL 5, text that is listed', () => {
  test.each([
    [['image/urf', 'application/postscript', 'application/pdf'], 'pdf'],
    [['text/plain', 'application/vnd.hp-pcl', 'application/postscript'], 'postscript'],
    [['image/pwg-raster', 'application/vnd.hp-pcl'], 'pwg-raster'],
    [['text/plain', 'application/vnd.hp-pcl'], 'pcl5'],
    [['text/plain', 'image/jpeg'], 'text'],
  ])('%j → %s', (formats, format) => {
    expect(chooseFormat('ipp', undefined, takes({ formats }, RASTER))).toMatchObject({ format, from: 'printer' });
  });

  test('a raster kind that is not made here does not count', () => {
    const attributes = { ...RASTER, 'pwg-raster-document-type-supported': words('cmyk_8') };
    const said = takes({ formats: ['image/pwg-raster', 'text/plain'] }, attributes);
    expect(chooseFormat('ipp', undefined, said).format).toBe('text');
  });

  test('where nothing is known: PDF, said to be a guess', () => {
    expect(chooseFormat('ipp', undefined, NOTHING)).toMatchObject({ format: 'pdf', from: 'assumed' });
  });

  test('none of them: one sentence that says what to do', () => {
    expect(() => chooseFormat('ipp', undefined, takes({ formats: ['image/urf', 'image/jpeg'] }))).toThrow(
      'Over IPP it takes image/urf, image/jpeg, and the page is made as PDF, PostScript, PWG Raster, PCL 5 or text: choose --via raw, or force one with --format.',
    );
  });

  test('--format overrides all of it, in the spelling that the printer uses', () => {
    const said = {
      ...takes({ formats: ['application/vnd.hp-pcl', 'application/pdf'] }),
      printer: { formats: ['application/PDF', 'application/vnd.HP-PCL'] } as unknown as PrinterTakes['printer'],
    };
    expect(chooseFormat('ipp', 'pcl5', said)).toEqual({
      format: 'pcl5',
      mediaType: 'application/vnd.HP-PCL',
      from: 'told',
    });
    expect(chooseFormat('ipp', 'postscript', said).mediaType).toBe('application/postscript');
  });
});

describe('over the raw port and LPD', () => {
  // PrtInterpreterLangFamilyTC (IANA-PRINTER-MIB): langPCL, langPS; the command set of an IEEE 1284 device ID.
  test('the interpreters count before what IPP lists', () => {
    const said = takes({ formats: ['application/pdf', 'image/pwg-raster'], labels: ['langPCL', 'langPS'] }, RASTER);
    expect(chooseFormat('raw', undefined, said).format).toBe('postscript');
    expect(chooseFormat('ipp', undefined, said).format).toBe('pdf');
  });
  test('PCL 5 alone, by its label or by the device ID', () => {
    expect(chooseFormat('lpd', undefined, takes({ labels: ['langPCL'] })).format).toBe('pcl5');
    expect(chooseFormat('raw', undefined, takes({ commands: ['PCL5E', 'PJL'] })).format).toBe('pcl5');
  });
  test('where nothing is known: text, since a wrong guess would come out as sheets of signs', () => {
    expect(chooseFormat('raw', undefined, NOTHING)).toMatchObject({ format: 'text', from: 'assumed' });
  });
  test('a spooler takes PDF', () => {
    expect(chooseFormat('queue', undefined, takes({ labels: ['langPCL'] }))).toMatchObject({
      format: 'pdf',
      from: 'queue',
    });
  });
});

describe('dots', () => {
  const colour = (value: boolean) => ({ 'color-supported': [{ tag: 'boolean', value }] });
  test('in colour where it prints in colour, the finest up to 600 to the inch', () => {
    expect(dotsFor(takes({}, { ...RASTER, ...colour(true) }))).toEqual({ type: 'srgb_8', dpi: { x: 600, y: 600 } });
    expect(dotsFor(takes({}, { ...RASTER, ...colour(false) }))).toEqual({ type: 'sgray_8', dpi: { x: 600, y: 600 } });
  });
  test('where it takes only finer ones, the coarsest of these; unlike ways across and along', () => {
    const only = (...list: readonly (readonly [number, number])[]) =>
      dotsFor(takes({}, { ...RASTER, 'pwg-raster-document-resolution-supported': resolutions(...list) })).dpi;
    expect(only([2400, 2400], [1200, 1200])).toEqual({ x: 1200, y: 1200 });
    expect(only([300, 300], [600, 300])).toEqual({ x: 600, y: 300 });
  });
  test('one bit only', () => {
    const attributes = { ...RASTER, 'pwg-raster-document-type-supported': words('black_1') };
    expect(dotsFor(takes({}, attributes)).type).toBe('black_1');
  });
  test('nothing said, or nonsense: 300 to the inch in grey', () => {
    const nonsense = { 'pwg-raster-document-resolution-supported': resolutions([0, -5]) };
    for (const attributes of [{}, nonsense])
      expect(dotsFor(takes({}, attributes))).toEqual({ type: 'sgray_8', dpi: { x: 300, y: 300 } });
  });
});

test('the sheet is what lies in the printer, else what it takes by default, else A4', () => {
  const sheet = (attributes: IppAttributes) => sheetFor({ ...NOTHING, attributes });
  expect(
    sheet({
      'media-ready': words('iso_a5_148x210mm', 'na_letter_8.5x11in'),
      'media-default': words('iso_a4_210x297mm'),
    }),
  ).toBe('letter');
  expect(sheet({ 'media-default': words('na_letter_8.5x11in') })).toBe('letter');
  expect(sheet({})).toBe('a4');
});
