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
  /** Raw port that may be asked for the printer's state: only where the configuration says so for this printer. */
  readonly pjl?: { readonly port: number };
  /** Queues of line printer daemons (RFC 1179) that a person or the configuration named by an lpd URI. */
  readonly lpdQueues?: readonly LpdQueue[];
  /** The managed switch and the port of it that the printer hangs on. */
  readonly switch?: { readonly address: string; readonly port: number; readonly snmpPort?: number };
  /** Identity the configuration expects at this address. */
  readonly expected?: { readonly serial?: string; readonly uuid?: string; readonly mac?: string };
}

/** One queue of a line printer daemon. */
export interface LpdQueue {
  /** As it was named. */
  readonly uri: string;
  /** Host of the daemon; absent where it is the target itself. */
  readonly host?: string;
  readonly port: number;
  readonly queue: string;
}
