/**
 * The question of WS-Discovery (OASIS WS-Discovery 1.1, section 5.2) for print devices, and of the version from which it was made a
 * standard, which devices of before 2009 speak alone. Both are the same but for their namespaces.
 */
export interface Dialect {
  readonly discovery: string;
  readonly addressing: string;
  readonly to: string;
  /** Namespace of the type `Device` (Devices Profile for Web Services). */
  readonly profile: string;
}

/** WS-Discovery 1.1 section 1.6 and 3.1.1; DPWS 1.1 section 1.4; the earlier ones from memory. */
export const DIALECTS: readonly Dialect[] = [
  {
    discovery: 'http://docs.oasis-open.org/ws-dd/ns/discovery/2009/01',
    addressing: 'http://www.w3.org/2005/08/addressing',
    to: 'urn:docs-oasis-open-org:ws-dd:ns:discovery:2009:01',
    profile: 'http://docs.oasis-open.org/ws-dd/ns/dpws/2009/01',
  },
  {
    discovery: 'http://schemas.xmlsoap.org/ws/2005/04/discovery',
    addressing: 'http://schemas.xmlsoap.org/ws/2004/08/addressing',
    to: 'urn:schemas-xmlsoap-org:ws:2005:04:discovery',
    profile: 'http://schemas.xmlsoap.org/ws/2006/02/devprof',
  },
];

/** SOAP 1.2 part 1, section 5.1. */
export const SOAP = 'http://www.w3.org/2003/05/soap-envelope';
/** Namespace of the print device class: an identifier that such devices compare, never fetched. */
const PRINT = 'http://schemas.microsoft.com/windows/2006/08/wdp/print';

/** The local name by which a print device is told from others. */
export const PRINT_DEVICE = 'PrintDeviceType';

/** A probe for print devices. `messageId`: `urn:uuid:…`; the answers relate to it. */
export function probeMessage(dialect: Dialect, messageId: string): string {
  return (
    '<?xml version="1.0" encoding="utf-8"?>' +
    `<s:Envelope xmlns:s="${SOAP}" xmlns:a="${dialect.addressing}" xmlns:d="${dialect.discovery}" xmlns:wsdp="${dialect.profile}" xmlns:wprt="${PRINT}">` +
    `<s:Header><a:Action>${dialect.discovery}/Probe</a:Action><a:MessageID>${messageId}</a:MessageID><a:To>${dialect.to}</a:To></s:Header>` +
    `<s:Body><d:Probe><d:Types>wsdp:Device wprt:${PRINT_DEVICE}</d:Types></d:Probe></s:Body></s:Envelope>`
  );
}
