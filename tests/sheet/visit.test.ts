import { expect, test } from 'vitest';
import { sheetType } from '../../src/commands/sheet-type.js';
import type { SnapshotDocument } from '../../src/model/snapshot.js';
import { visitSheet } from '../../src/sheet/visit.js';
import { buildSnapshot } from '../../src/snapshot/snapshot.js';
import { describeWithPeers } from '../peers/peer.js';
import { hostileSite, samplePrinter, sampleSite } from '../render/site-samples.js';
import { HOSTILE, sampleWhy } from '../render/why-samples.js';
import { type PdfReading, readPdf } from './pdf-tools.js';

const MM = 72 / 25.4;

async function sheetOf(snapshot: SnapshotDocument): Promise<PdfReading> {
  return readPdf(await visitSheet(snapshot, await sheetType()));
}

/** One line, so that a name that was broken over two is found. */
const flat = (text: string): string => text.replace(/\s+/g, ' ');

/** Words outside of the text's own part of the page: side margins of 15 mm, and 17 mm above and below. */
function strays({ words, pages }: PdfReading): readonly string[] {
  return words
    .filter(({ page, xMin, xMax, yMin, yMax }) => {
      const [width, height] = pages[page - 1] ?? [0, 0];
      return xMin < 14.9 * MM || xMax > width - 14.9 * MM || yMin < 16 * MM || yMax > height - 16 * MM;
    })
    .map(({ page, text }) => `${page}: ${text}`);
}

describeWithPeers('the sheet to carry, read by poppler', ['pdftotext', 'pdfinfo', 'pdffonts'], () => {
  test('pages of A4, every printer named with what it is, all fonts inside and cut down', async () => {
    const snapshot = sampleSite();
    const sheet = await sheetOf(snapshot);
    // ISO 216: 210 mm by 297 mm.
    for (const [width, height] of sheet.pages) {
      expect([width / MM, height / MM].map((mm) => Number(mm.toFixed(1)))).toEqual([210, 297]);
    }
    const text = flat(sheet.text);
    for (const { why } of snapshot.printers) expect(text).toContain(why.target);
    for (const part of ['SN-0021', '192.0.2.21', 'Ground floor, beside the lift', 'Model 21'])
      expect(text).toContain(part);
    expect(sheet.info.Title).toBe('Harbour annex: visit sheet');
    for (const line of sheet.fonts.trim().split('\n').slice(2)) expect(line).toMatch(/TrueType +Identity-H +yes/);
  });

  test('says what is wrong, who has to be there, what to bring, what to do with which care, what to ask', async () => {
    const text = flat((await sheetOf(sampleSite())).text);
    for (const part of [
      'What is wrong, from the wall socket up',
      'To be there, or to be reached by telephone',
      '250 sheets of paper A4, 210 x 297 mm, for Tray 2',
      'Used up, or may be, before the next visit (2026-03-02)',
      'up to 2 min, 12 people stopped',
      'Care: Keep fingers clear of the lifting plate while the tray closes.',
      'Is the panel lit, or does any lamp on the printer shine?',
      'Found and done:',
      'Since 2026-01-31 08:10.',
      'Codes and passwords do not belong on this sheet.',
    ]) {
      expect(text).toContain(part);
    }
  });

  test('nothing stands outside of its margins, whatever the printers say', async () => {
    for (const snapshot of [sampleSite(), hostileSite()]) {
      const sheet = await sheetOf(snapshot);
      expect(sheet.words.length).toBeGreaterThan(200);
      expect(strays(sheet)).toEqual([]);
    }
  });

  test('on Letter, laid against either edge, all but the page’s head and foot stays on the paper', async () => {
    // ANSI/ASME Y14.1: 279.4 mm high. 6 mm that a printer leaves blank: common practice, no published source.
    const lost = (297 - 279.4 + 6) * MM;
    const { words, pages } = await sheetOf(sampleSite());
    const [, height] = pages[0] ?? [0, 0];
    const cut = words.filter(({ yMin, yMax }) => yMin < lost || yMax > height - lost);
    const furniture = flat(cut.map(({ text }) => text).join(' ')).replace(
      /Harbour annex: visit sheet|Codes and passwords do not belong on this sheet\.( ¤ stands for a sign that is not in its type: see site\.html\.)?|\d+ of \d+/g,
      '',
    );
    expect(furniture.trim()).toBe('');
  });

  test('text that a printer means to do harm with is inert and cut: no action, no control, no direction mark', async () => {
    const octets = await visitSheet(hostileSite(), await sheetType());
    const raw = Buffer.from(octets).toString('latin1');
    expect(raw).not.toMatch(/\/(JavaScript|JS|URI|Launch|OpenAction|AA|Annots|EmbeddedFile)\b/);
    const sheet = readPdf(octets);
    expect(sheet.info.JavaScript).toBe('no');
    // Form feeds part pages and line breaks lines; pdftotext adds no other control.
    expect(sheet.text).not.toMatch(/[\u0000-\u0008\u000b\u000e-\u001f\u007f\u202a-\u202e\u2066-\u2069]/);
    expect(flat(sheet.text)).toContain('<script>alert(1)</script>');
    expect(HOSTILE.length).toBeGreaterThan(10_000);
    expect(sheet.text.length).toBeLessThan(60_000);
    expect(sheet.text).toContain('¤ stands for a sign that is not in its type: see site.html.');
  });

  test('names in Greek, Cyrillic and with any Latin accent are set as they are', async () => {
    const names = ['Αίθουσα Ω', 'Приёмная Ґ', 'Łódź Ő ğ', 'Phòng ấm', 'Ærøskøbing ß'];
    const inputs = names.map((target) => ({ printer: samplePrinter(), why: sampleWhy({ target }) }));
    const { text } = await sheetOf(buildSnapshot(inputs, { site: 'Σταθμός', madeAt: '2026-01-31T09:00:00.000Z' }));
    for (const name of [...names, 'Σταθμός']) expect(flat(text)).toContain(name);
    expect(text).not.toContain('¤');
  });

  test('a site where nothing is wrong gives a sheet as well; the clock is that of the site', async () => {
    const well = sampleSite().printers.filter(({ why }) => why.target === 'studio');
    const inputs = well.map(({ printer, why }) => ({ printer, why }));
    const about = { site: 'Harbour annex', madeAt: '2026-07-31T09:00:00.000Z', timezone: 'Europe/Lisbon' };
    const { text, pages } = await sheetOf(buildSnapshot(inputs, about));
    expect(pages).toHaveLength(1);
    expect(flat(text)).toContain('Nothing to mend.');
    // Lisbon keeps UTC+1 in July (IANA tz database).
    expect(flat(text)).toContain('As the printers stood on 2026-07-31 10:00. Times are those of Europe/Lisbon.');
    const empty = await sheetOf(buildSnapshot([], about));
    expect(empty.pages).toHaveLength(1);
  });

  test('the same snapshot gives the same octets', async () => {
    const type = await sheetType();
    const [one, two] = [await visitSheet(sampleSite(), type), await visitSheet(sampleSite(), type)];
    expect(Buffer.compare(Buffer.from(one), Buffer.from(two))).toBe(0);
  });
});
