/** A target in one parsed form: what `TARGET` on the command line or a printer of the configuration comes to. */
export interface Target {
  /** What the person called it. */
  readonly label: string;
  /** Address or host name to reach; an IP address once resolved. */
  readonly host: string;
  /** The host name that `host` was looked up from, where the user or the configuration gave a name. */
  readonly hostName?: string;
  /** Device index asked for with `#2`, where one agent speaks for several printers. */
  readonly deviceIndex?: number;
  /** Given by the user or the configuration, else discovered. */
  readonly ippUri?: string;
  readonly snmpPort: number;
  /** TCP ports that carry print data here. */
  readonly printPorts: readonly number[];
  readonly queues: readonly string[];
  /** The managed switch and the port of it that the printer hangs on. */
  readonly switch?: { readonly address: string; readonly port: number; readonly snmpPort?: number };
  /** Identity the configuration expects at this address. */
  readonly expected?: { readonly serial?: string; readonly uuid?: string; readonly mac?: string };
}
