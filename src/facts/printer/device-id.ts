/** IEEE 1284 device ID (`MFG:…;MDL:…;SN:…;`), as printer-device-id (PWG 5107.2) and ppmPrinterIEEE1284DeviceId carry it. */

export interface DeviceId {
  readonly maker: string | null;
  readonly model: string | null;
  readonly serial: string | null;
}

const KEYS = {
  maker: ['MFG', 'MANUFACTURER'],
  model: ['MDL', 'MODEL'],
  serial: ['SN', 'SERN', 'SERIALNUMBER'],
} as const;

/** Reads the keys that tell a device apart; key names without regard to case, the first of a repeated key counts. */
export function readDeviceId(text: string | null): DeviceId {
  const values = new Map<string, string>();
  for (const part of (text ?? '').split(';')) {
    const colon = part.indexOf(':');
    const key = part.slice(0, Math.max(0, colon)).trim().toUpperCase();
    const value = part.slice(colon + 1).trim();
    if (colon > 0 && value !== '' && !values.has(key)) values.set(key, value);
  }
  const first = (names: readonly string[]): string | null => {
    for (const name of names) {
      const value = values.get(name);
      if (value !== undefined) return value;
    }
    return null;
  };
  return { maker: first(KEYS.maker), model: first(KEYS.model), serial: first(KEYS.serial) };
}
