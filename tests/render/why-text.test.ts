import stringWidth from 'string-width';
import { describe, expect, test } from 'vitest';
import { LAYER_STATES } from '../../src/model/layers.js';
import { STATE_MARKS, STATE_WORDS } from '../../src/render/layer-words.js';
import { renderWhy } from '../../src/render/why-text.js';
import { hostileWhy, sampleWhy, unsureWhy, wellWhy } from './why-samples.js';

const plain = { color: false, columns: 80 };

describe('the answer to "why" on a terminal', () => {
  test('begins with the verdict, then layers, evidence, next step', () => {
    const text = renderWhy(sampleWhy(), plain);
    expect(text.startsWith('front-desk is silent. Tray 2 is empty')).toBe(true);
    expect(text).toContain('Layer 8 of 13, media: media-empty, Tray 2. This is sure.');
    const places = ['Layers,', 'Evidence behind', 'Next step'].map((title) => text.indexOf(title));
    expect(places.every((place) => place > 0)).toBe(true);
    expect([...places].sort((a, b) => a - b)).toEqual(places);
    expect(text).toContain('2 min');
    expect(text).toContain('Care: Keep fingers clear');
  });

  test('joins neighbouring layers of one state and names all thirteen', () => {
    const text = renderWhy(sampleWhy(), plain);
    expect(text).toContain('= clear       power, link, address, port, protocol, access, device\n');
    expect(text).toContain('X FAULT       media: media-empty (Tray 2)\n');
    expect(text).toContain('. not reached supplies, language, queue, job, application\n');
  });

  test('every state has its own mark and its own word, so that colour is never needed', () => {
    expect(new Set(LAYER_STATES.map((state) => STATE_MARKS[state])).size).toBe(LAYER_STATES.length);
    expect(new Set(LAYER_STATES.map((state) => STATE_WORDS[state])).size).toBe(LAYER_STATES.length);
  });

  test('shows only the evidence behind the verdict, and all of it when asked', () => {
    const text = renderWhy(sampleWhy(), plain);
    expect(text).toContain('e4');
    expect(text).not.toContain('e3');
    const verbose = renderWhy(sampleWhy(), { ...plain, verbose: true });
    for (const id of ['e1', 'e2', 'e3', '*e4', '*e5']) expect(verbose).toContain(id);
    expect(verbose).toContain('= clear       link: link is well.');
  });

  test('when not sure: suspects in per cent and how to answer the best checks', () => {
    const text = renderWhy(unsureWhy(), plain);
    expect(text).toContain('This is likely, not sure.');
    expect(text).toContain('62 %  power: powered-off');
    expect(text).toContain('<1 %  address: moved');
    expect(text).toContain('--answer panel-lit=lit (or dark)');
    expect(text).toContain('3 min, 1 sheet  Does the printer print');
    expect(text).toContain('Also wrong\n  X The print queue back-office is paused');
  });

  test('when nothing is decided: what would tell comes before the steps of a guess', () => {
    const unsure = unsureWhy();
    const guess = { layer: 'power', cause: 'powered-off', certainty: 'possible' } as const;
    const text = renderWhy({ ...unsure, silent: null, verdict: { ...unsure.verdict, ...guess } }, plain);
    expect(text).toContain('Best guess, 62 %: ');
    expect(text.indexOf('What would tell, best first')).toBeLessThan(text.indexOf('If it is powered-off'));
    expect(text).not.toContain('Next step');
  });

  test('says plainly when the printer can print', () => {
    const text = renderWhy(wellWhy(), plain);
    expect(text.startsWith('front-desk can print. Nothing wrong was found')).toBe(true);
    expect(text).not.toContain('Layer 13 of 13');
    expect(text).toContain('? unknown     queue, job');
    expect(renderWhy(sampleWhy({ silent: null }), plain)).toContain('Whether front-desk can print is not known.');
  });

  test.each([40, 60, 80, 200])('no line is wider than %i columns, nor than 100', (columns) => {
    for (const doc of [sampleWhy(), unsureWhy(), wellWhy(), hostileWhy()]) {
      for (const verbose of [false, true]) {
        for (const line of renderWhy(doc, { color: false, columns, verbose }).split('\n')) {
          expect(stringWidth(line)).toBeLessThanOrEqual(Math.min(columns, 100));
        }
      }
    }
  });

  test('colour only when asked for, and it moves no line break', () => {
    const bare = renderWhy(unsureWhy(), plain);
    const coloured = renderWhy(unsureWhy(), { ...plain, color: true });
    expect(bare).not.toContain('\u001b');
    expect(coloured).toContain('\u001b[');
    expect(coloured.replace(/\u001b\[\d+m/g, '')).toBe(bare);
  });

  test('hostile text cannot act, and cannot flood', () => {
    const text = renderWhy(hostileWhy(), { ...plain, verbose: true });
    expect(text).not.toMatch(/[\u0000-\u0009\u000b-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/u);
    expect(text.length).toBeLessThan(40_000);
  });
});
