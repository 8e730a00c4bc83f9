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

/** Key → value; key names in upper case, the first of a repeated key counts. */
function keysOf(text: string | null): ReadonlyMap<string, string> {
  const values = new Map<string, string>();
  for (const part of (text ?? '').split(';')) {
    const colon = part.indexOf(':');
    const key = part.slice(0, Math.max(0, colon)).trim().toUpperCase();
    const value = part.slice(colon + 1).trim();
    if (colon > 0 && value !== '' && !values.has(key)) values.set(key, value);
  }
  return values;
}

/** Words of the command set (`CMD:` or `COMMAND SET:`): the languages that the device reads, in its own words. */
export function readCommandSet(text: string | null): readonly string[] {
  const values = keysOf(text);
  const words = (values.get('CMD') ?? values.get('COMMAND SET') ?? '').split(',', 100);
  return words.map((word) => word.trim()).filter((word) => word !== '');
}

/** Reads the keys that tell a device apart. */
export function readDeviceId(text: string | null): DeviceId {
  const values = keysOf(text);
  const first = (names: readonly string[]): string | null => {
    for (const name of names) {
      const value = values.get(name);
      if (value !== undefined) return value;
    }
    return null;
  };
  return { maker: first(KEYS.maker), model: first(KEYS.model), serial: first(KEYS.serial) };
}
