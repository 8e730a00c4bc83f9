import { describe, expect, test } from 'vitest';
import { judge } from '../../src/verdict/verdict.js';
import { bundleOf, HEALTHY, ippPrinter, type SnmpPrinter, snmpPrinter, texts } from './bundle.js';

/** The device is down and no code, bit or keyword says why. Status pair: RFC 3805 2.2.13.2. */
const DOWN: SnmpPrinter = { device: 5, printer: 1, bits: '00' };

function byPanel(lines: readonly string[], more: Partial<SnmpPrinter> = {}) {
  const { verdict } = judge(
    bundleOf({ ...HEALTHY, ipp: 'refused', snmp: snmpPrinter({ ...DOWN, console: lines, ...more }) }),
  );
  return verdict;
}

// How panels word it: common practice, no published source.
describe('what a stopped printer says in words alone', () => {
  test.each([
    [['Paper jam'], 'device/media-jam'],
    [['Papierstau', 'Klappe A öffnen'], 'device/media-jam'],
    [['BOURRAGE PAPIER'], 'device/media-jam'],
    [['Atasco de papel'], 'device/media-jam'],
    [['Inceppamento carta'], 'device/media-jam'],
    [['Close front', 'cover'], 'device/cover-open'],
    [['Door A is open'], 'device/cover-open'],
    [['Klappe offen'], 'device/cover-open'],
    [['Capot avant ouvert'], 'device/cover-open'],
    [['50.3 FUSER ERROR'], 'device/fuser-fault'],
    [['Fehler Fixiereinheit: Fixiererfehler'], 'device/fuser-fault'],
    [['Waste toner box full'], 'supplies/waste-full'],
    [['Resttonerbehälter voll'], 'supplies/waste-full'],
    [['Replace black toner'], 'supplies/supply-empty'],
    [['Toner leer'], 'supplies/supply-empty'],
    [['Remplacer cartouche'], 'supplies/supply-empty'],
    [['Load A4 paper', 'in tray 1'], 'media/media-empty'],
    [['Tray 1', 'empty'], 'media/media-empty'],
    [['Kein Papier'], 'media/media-empty'],
    [['Plus de papier'], 'media/media-empty'],
    [['Sin papel'], 'media/media-empty'],
    [['Carta esaurita'], 'media/media-empty'],
    [['Insert tray 2'], 'media/tray-missing'],
    [['Output bin full'], 'media/output-full'],
    [['Call service', 'E7-31'], 'device/service-needed'],
    [['Paused'], 'device/paused'],
    [['OFFLINE'], 'device/offline'],
  ])('%j', (lines, said) => {
    const verdict = byPanel(lines);
    expect(`${verdict.layer}/${verdict.cause}`).toBe(said);
    expect(verdict.certainty).toBe('likely');
  });

  test('words that say nothing leave it at "stopped"', () => {
    for (const lines of [['Ready'], ['E-31'], [], ['Jambon'], ['Paper size: A4']]) {
      expect(byPanel(lines).cause).toBe('stopped');
    }
  });

  test('a code is the better witness: the alert says empty, the display speaks of a cover', () => {
    const alerts = [{ severity: 3, group: 8, groupIndex: 1, code: 13 }];
    expect(byPanel(['Close cover'], { alerts, trays: [{ name: 'Tray 1', level: 0 }] })).toMatchObject({
      cause: 'media-empty',
      certainty: 'sure',
    });
  });

  test('the text of a critical alert without a code, and printer-state-message (RFC 8011 5.4.13)', () => {
    const alerts = [{ severity: 3, group: 5, groupIndex: 1, code: 2, text: 'Fuser error, turn off' }];
    expect(byPanel([], { alerts }).cause).toBe('fuser-fault');
    const attributes = ippPrinter({
      state: 5,
      reasons: ['other-error'],
      more: { 'printer-state-message': texts('The paper jam must be removed.') },
    });
    const { verdict } = judge(bundleOf({ ...HEALTHY, snmp: 'silent', ipp: { attributes } }));
    expect(verdict).toMatchObject({ cause: 'media-jam', certainty: 'likely' });
  });

  test('words on the display of one that runs are no fault', () => {
    const snmp = snmpPrinter({ console: ['Paper jam', 'Replace toner'] });
    expect(judge(bundleOf({ ...HEALTHY, snmp })).verdict.cause).toBe('nothing-wrong-found');
  });
});
