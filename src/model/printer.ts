/**
 * `outfeed.printer/1`: everything one printer says of itself, decoded and joined from its sources.
 * Enumerations are spelt as in RFC 3805, IANA-PRINTER-MIB, RFC 2790 and RFC 8011.
 */
export const PRINTER_SCHEMA = 'outfeed.printer/1';

/** What a level means: RFC 3805 gives −1 no limit, −2 unknown, −3 some left. */
export type LevelMeaning = 'measured' | 'some-left' | 'no-limit' | 'unknown';

export interface Identity {
  readonly name: string | null;
  readonly model: string | null;
  readonly serial: string | null;
  /** Bare UUID, lower case, without `urn:uuid:`. */
  readonly uuid: string | null;
  /** Lower case, colons. */
  readonly macs: readonly string[];
  readonly location: string | null;
  readonly contact: string | null;
  readonly firmware: string | null;
  readonly adminUrl: string | null;
}

export interface DeviceState {
  /** hrDeviceStatus (RFC 2790). */
  readonly device: 'unknown' | 'running' | 'warning' | 'testing' | 'down' | null;
  /** hrPrinterStatus (RFC 2790). */
  readonly printer: 'other' | 'unknown' | 'idle' | 'printing' | 'warmup' | null;
  /** hrPrinterDetectedErrorState (RFC 2790), names of the bits that are set. */
  readonly errorBits: readonly string[];
  /** printer-state (RFC 8011 5.4.11). */
  readonly ipp: 'idle' | 'processing' | 'stopped' | null;
  /** printer-state-reasons (RFC 8011 5.4.12), without `none`, suffixes kept. */
  readonly reasons: readonly string[];
  readonly accepting: boolean | null;
  /** printer-state-message (RFC 8011 5.4.13). */
  readonly message?: string | null;
}

export interface Alert {
  readonly source: 'snmp' | 'ipp';
  readonly index: number | null;
  /** PrtAlertSeverityLevelTC. */
  readonly severity: string;
  /** PrtAlertGroupTC. */
  readonly group: string | null;
  readonly groupIndex: number | null;
  /** Name of the part that group and groupIndex point to. */
  readonly component: string | null;
  /** PrtAlertCodeTC label, or the number as text when nobody registered it. */
  readonly code: string;
  readonly codeNumber: number | null;
  readonly trainingLevel: string | null;
  readonly location: number | null;
  readonly description: string | null;
  /** The printer-state-reasons keyword that the code stands for (PWG 5100.9), with its severity suffix. */
  readonly reason: string | null;
  readonly raisedAtTicks: number | null;
}

export interface Supply {
  readonly index: number;
  readonly name: string;
  /** PrtMarkerSuppliesTypeTC. */
  readonly type: string;
  /** PrtMarkerSuppliesClassTC. */
  readonly class: string;
  readonly colour: string | null;
  readonly unit: string | null;
  readonly level: number | null;
  readonly capacity: number | null;
  /** Of capacity, what remains in a container, the space that remains in a receptacle. Null unless measured. */
  readonly percent: number | null;
  readonly meaning: LevelMeaning;
  readonly state: 'ok' | 'low' | 'empty' | 'full' | 'unknown';
}

export interface Tray {
  readonly index: number;
  readonly name: string;
  readonly type: string | null;
  readonly level: number | null;
  readonly capacity: number | null;
  readonly unit: string | null;
  readonly percent: number | null;
  readonly meaning: LevelMeaning;
  readonly media: string | null;
  /** prtInputStatus (RFC 3805 2.2.13.2.2), a sum of bits. */
  readonly status?: number | null;
}

export interface Output {
  readonly index: number;
  readonly name: string;
  readonly level: number | null;
  readonly capacity: number | null;
  /** Of capacity, the space that remains. 0 = full. */
  readonly percent: number | null;
  readonly meaning: LevelMeaning;
  readonly status?: number | null;
}

/** A device behind the printer that staples, punches, folds … (RFC 3806). */
export interface Finisher {
  readonly index: number;
  readonly name: string;
  /** FinDeviceTypeTC. */
  readonly type: string | null;
  /** Null when it is not said. */
  readonly present: boolean | null;
  readonly unit: string | null;
  readonly level: number | null;
  readonly capacity: number | null;
  readonly percent: number | null;
  readonly meaning: LevelMeaning;
  readonly status?: number | null;
  /** Staples, binding tape and the boxes for chips. */
  readonly supplies: readonly Omit<Supply, 'state' | 'colour'>[];
}

/** A way in for jobs that the device says it has (PWG 5107.1). */
export interface PrintPort {
  readonly index: number;
  readonly name: string | null;
  /** PrtChannelTypeTC. */
  readonly protocol: string | null;
  /** Queue name or URI. */
  readonly service: string | null;
  readonly port: number | null;
  readonly enabled: boolean | null;
}

/** A network card of the device (RFC 2863). Counters run since its agent started and may wrap. */
export interface NetworkInterface {
  readonly index: number;
  readonly name: string | null;
  readonly mac: string | null;
  readonly up: boolean | null;
  /** Millions of bits a second. */
  readonly megabits: number | null;
  readonly inErrors: number | null;
  readonly outErrors: number | null;
  readonly inDiscards: number | null;
}

export interface Cover {
  readonly index: number;
  readonly name: string;
  /** PrtCoverStatusTC. */
  readonly state: string;
}

export interface Counters {
  readonly lifePages: number | null;
  readonly powerOnPages: number | null;
}

export interface PrinterDocument {
  readonly schema: typeof PRINTER_SCHEMA;
  readonly address: string;
  readonly readAt: string;
  readonly isPrinter: boolean;
  readonly isPrinterBecause: string;
  readonly deviceIndex: number | null;
  readonly alsoHere: readonly { readonly deviceIndex: number; readonly model: string | null }[];
  readonly identity: Identity;
  readonly state: DeviceState;
  readonly alerts: readonly Alert[];
  readonly supplies: readonly Supply[];
  readonly trays: readonly Tray[];
  readonly outputs: readonly Output[];
  readonly covers: readonly Cover[];
  /** Absent where there is none. */
  readonly finishers?: readonly Finisher[];
  /** Absent where the device has no port monitor table. */
  readonly ports?: readonly PrintPort[];
  /** Absent where SNMP tells of none. */
  readonly interfaces?: readonly NetworkInterface[];
  readonly counters: Counters;
  readonly console: readonly string[];
  readonly languages: readonly string[];
  readonly formats: readonly string[];
  readonly memoryBytes: number | null;
  /** hrSystemUptime or sysUpTime, hundredths of a second. */
  readonly upTimeTicks: number | null;
  /** Where each merged field came from: `supplies` → `snmp`. */
  readonly from: Readonly<Record<string, 'snmp' | 'ipp' | 'dns-sd'>>;
  readonly problems: readonly string[];
}
