import type { Supply, Tray } from '../../model/printer.js';
import type { PrinterFact } from '../fact.js';
import { readSubUnitStatus } from '../printer/sub-unit-status.js';
import { type Signal, signal } from './signal.js';
import { type StateWord, saysStopped } from './state.js';

function outOfUse(status: number | null | undefined): boolean {
  const { availability, offLine } = readSubUnitStatus(status) ?? {};
  return availability === 'unavailableBecauseBroken' || offLine === true;
}

const isManual = (tray: Tray): boolean => tray.type === 'sheetFeedManual';

export function isEmptyTray(tray: Tray): boolean {
  return tray.meaning === 'measured' && tray.level === 0;
}

/** By its own word it holds paper, in whatever number. */
export function holdsPaper(tray: Tray): boolean {
  return tray.meaning === 'some-left' || (tray.level ?? 0) > 0;
}

/** A tray that can feed the next sheet. A manual feed serves only when it is known to hold paper. */
export function serves(tray: Tray): boolean {
  if (isEmptyTray(tray) || outOfUse(tray.status)) return false;
  return isManual(tray) ? holdsPaper(tray) : true;
}

/** Covers that stand open by prtCoverStatus. Many devices report flaps that stop nothing. */
export function coverSignals(printer: PrinterFact, word: StateWord): Signal[] {
  return printer.document.covers.flatMap((cover) => {
    const reason = { coverOpen: 'cover-open', interlockOpen: 'interlock-open' }[cover.state];
    if (reason === undefined) return [];
    const stops = saysStopped(word) || (word.stopBit && !word.printing) || (word.snmp === null && word.ipp === null);
    return signal({
      reason,
      weight: stops ? 'stop' : 'warn',
      certainty: 'likely',
      witness: 'cover',
      component: cover.name,
      group: 'cover',
      note: stops ? null : 'the cover is reported open although the printer reports that it runs',
      evidence: printer.evidence.covers ?? [],
    });
  });
}

/** Empty trays by level. All of them empty stops the next page even if nothing has complained yet. */
export function traySignals(printer: PrinterFact, word: StateWord): Signal[] {
  const { trays } = printer.document;
  const automatic = trays.filter((tray) => !isManual(tray));
  const empty = automatic.filter(isEmptyTray);
  const allEmpty = empty.length > 0 && !trays.some(serves);
  return empty.map((tray) =>
    signal({
      reason: 'media-empty',
      weight: allEmpty && !word.printing ? 'stop' : 'warn',
      certainty: 'likely',
      witness: 'tray',
      component: tray.name,
      group: 'input',
      evidence: printer.evidence.trays ?? [],
    }),
  );
}

/** Output bins without room. Printing may go on into another bin, so the state decides. */
export function outputSignals(printer: PrinterFact): Signal[] {
  return printer.document.outputs.flatMap((output) =>
    output.meaning === 'measured' && output.percent === 0 && (output.capacity ?? 0) > 0
      ? signal({
          reason: 'output-area-full',
          weight: 'warn',
          certainty: 'likely',
          witness: 'output',
          component: output.name,
          group: 'output',
          evidence: printer.evidence.outputs ?? [],
        })
      : [],
  );
}

/** Parts that wear rather than run dry (PrtMarkerSuppliesTypeTC). */
const WEARING = new Set([
  'opc',
  'fuser',
  'transferUnit',
  'cleanerUnit',
  'coronaWire',
  'fuserCleaningPad',
  'fuserOilWick',
]);

function supplyReason(supply: Supply): string | null {
  const wears = WEARING.has(supply.type);
  switch (supply.state) {
    case 'empty':
      return wears ? 'part-life-over' : 'marker-supply-empty';
    case 'low':
      if (wears) return 'part-life-almost-over';
      return supply.class === 'receptacleThatIsFilled' ? 'marker-waste-almost-full' : 'marker-supply-low';
    case 'full':
      return 'marker-waste-full';
    default:
      return null;
  }
}

/** Supplies by level. A level of 0 alone stops nothing: many devices print on, and some report 0 for lack of a sensor. */
export function supplySignals(printer: PrinterFact): Signal[] {
  return printer.document.supplies.flatMap((supply) => {
    const reason = supplyReason(supply);
    if (reason === null) return [];
    return signal({
      reason,
      weight: 'warn',
      certainty: 'likely',
      witness: 'supply',
      component: supply.name,
      group: 'markerSupplies',
      evidence: printer.evidence.supplies ?? [],
    });
  });
}
