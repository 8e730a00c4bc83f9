import { describe, expect, test } from 'vitest';
import { sheetType } from '../../src/commands/sheet-type.js';
import { renderJson } from '../../src/render/json.js';
import { renderSite } from '../../src/render/site-html.js';
import { snapshotTables } from '../../src/render/snapshot-csv.js';
import { visitSheet } from '../../src/sheet/visit.js';
import { describeWithPeers } from '../peers/peer.js';
import { sampleSite } from '../render/site-samples.js';
import { readPdf } from '../sheet/pdf-tools.js';

// What these files say was read by a person once; a difference is to be read again before it is kept (vitest -u).
describe('a site whose every file is known', () => {
  test('site.json, the tables and the page', async () => {
    const snapshot = sampleSite();
    await expect(renderJson(snapshot)).toMatchFileSnapshot('golden/site.json');
    await expect(renderSite(snapshot)).toMatchFileSnapshot('golden/site.html');
    for (const [name, text] of Object.entries(snapshotTables(snapshot))) {
      await expect(text.replaceAll('\r\n', '\n')).toMatchFileSnapshot(`golden/${name}`);
    }
  });
});

describeWithPeers('the words of its sheet', ['pdftotext', 'pdfinfo', 'pdffonts'], () => {
  test('visit.pdf, as poppler reads it', async () => {
    const { text } = readPdf(await visitSheet(sampleSite(), await sheetType()));
    // How wide a gap is in letters differs between its versions.
    const words = text
      .replaceAll(/[ ]{2,}/g, '  ')
      .replaceAll(/[ \t]+\n/g, '\n')
      .replaceAll(/\n{2,}/g, '\n');
    await expect(words).toMatchFileSnapshot('golden/visit.txt');
  });
});
