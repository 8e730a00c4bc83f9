import { describe, expect, test } from 'vitest';
import { explainDefect } from '../../src/defects/defect.js';
import { pastSigns } from '../../src/defects/past-signs.js';
import { symptomOf } from '../../src/defects/symptoms.js';

const jam = (component: string | null) => ({ cause: 'media-jam', component });
const question = (word: string) => {
  const symptom = symptomOf(word);
  if (symptom === undefined) throw new Error(word);
  return { target: 'desk', symptoms: [symptom], told: {}, answers: [], geometry: null, notes: [] };
};

/** Worn pick-up rollers misfeed at their tray, a jam at the exit lies in the exit: common practice, no published source. */
describe('what a printer did before', () => {
  test('one jam is chance, two at a tray speak of its rollers', () => {
    expect(pastSigns([jam('Tray 2')])).toEqual([]);
    expect(pastSigns([jam('Tray 2'), jam('Tray 2')])).toEqual([
      { when: 'jams-input-before', part: 'Tray 2', value: '2 times' },
    ]);
  });

  test('jams of several places are told for each, most first', () => {
    const past = [
      jam('Output bin'),
      jam('Tray 1'),
      jam('Output bin'),
      jam(null),
      jam('Tray 1'),
      jam('Output bin'),
      jam(null),
    ];
    expect(pastSigns(past).map(({ when, value }) => `${when} ${value}`)).toEqual([
      'jams-output-before 3 times',
      'jams-input-before 2 times',
      'jams-path-before 2 times',
    ]);
  });

  test('a tray that kept asking for other paper speaks of its setting', () => {
    const asked = { cause: 'media-needed', component: 'Tray 1' };
    expect(pastSigns([asked, asked])).toEqual([{ when: 'media-needed-before', part: 'Tray 1', value: '2 times' }]);
  });

  test('what has nothing to do with pages says nothing', () => {
    expect(
      pastSigns([
        { cause: 'paused', component: null },
        { cause: 'paused', component: null },
      ]),
    ).toEqual([]);
  });

  test('past jams at a tray make its rollers likelier, and the answer says why', () => {
    const share = (past: readonly { cause: string; component: string }[]) =>
      explainDefect({ ...question('no-feed'), past }).ranked.find(({ cause }) => cause === 'pickup-worn');
    const before = share([]);
    const after = share([
      { cause: 'media-jam', component: 'Tray 2' },
      { cause: 'media-jam', component: 'Tray 2' },
    ]);
    expect(after?.probability).toBeGreaterThan(before?.probability ?? 1);
    expect(after?.because.join(' ')).toContain('it jammed 2 times at Tray 2 in the last three months');
  });
});
