/** The overall states of RFC 3805 section 2.2.13.2, over SNMP alone: which of them stop output. */
import { expect, test } from 'vitest';
import table from '../../shared/registries/rfc3805-condition-table.json' with { type: 'json' };
import { ERROR_STATE_BITS } from '../../src/registry/enums.generated.js';
import { judge } from '../../src/verdict/verdict.js';
import { bundleOf, HEALTHY, snmpPrinter } from './bundle.js';

/** State → whether output is stopped by it; null: the state by itself leaves that open, so it may be called likely, not sure. */
const STOPS: Readonly<Record<string, boolean | null>> = {
  idle: false,
  'busy or active': false,
  'non-critical alert active': false,
  'critical alert active': true,
  unavailable: true,
  'moving off-line': null,
  'off-line': true,
  'moving on-line': false,
  standby: false,
};

const bitNames = Object.entries(ERROR_STATE_BITS);

/** Octets of hrPrinterDetectedErrorState with one bit, bit 0 the highest of the first octet (RFC 2790). */
function octetsOf(name: string): string {
  const said = name === 'coverOpen' ? 'doorOpen' : name;
  const bit = Number(bitNames.find(([, each]) => each === said)?.[0] ?? Number.NaN);
  return (0x8000 >> bit).toString(16).padStart(4, '0');
}

const rows = table.overallStates.flatMap(({ state, hrDeviceStatus, hrPrinterStatus, errorBits }) => {
  const bits = Array.isArray(errorBits) ? errorBits : ['none'];
  return hrPrinterStatus.flatMap((printer) =>
    bits.map((bit) => [state, bit, printer, hrDeviceStatus[0] ?? 0] as const),
  );
});

test('each of them has an expectation', () => {
  expect([...new Set(rows.map(([state]) => state))]).toEqual(Object.keys(STOPS));
});

test.each(rows)('%s, %s set, hrPrinterStatus %i', (state, bit, printer, device) => {
  const snmp = snmpPrinter({ device, printer, bits: bit === 'none' ? '0000' : octetsOf(bit) });
  const { silent, verdict } = judge(bundleOf({ ...HEALTHY, snmp, ipp: 'refused', tcp: { 9100: 'open' } }));
  if (STOPS[state] === null) expect(silent === false || verdict.certainty !== 'sure').toBe(true);
  else
    expect({ silent, cause: silent === STOPS[state] ? '' : verdict.cause }).toEqual({
      silent: STOPS[state],
      cause: '',
    });
});
