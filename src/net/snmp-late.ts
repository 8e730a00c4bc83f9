import type { SnmpClient, SnmpOptions, SnmpReply } from './net.js';

/**
 * A guarded session whose library is loaded with its first question: a program that asks nothing over SNMP, or not yet, starts
 * without it.
 */
export function openSnmpLate(options: SnmpOptions): SnmpClient {
  let opened: SnmpClient | undefined;
  let opening: Promise<SnmpClient> | undefined;
  let closed = false;
  const open = (): Promise<SnmpClient> => {
    opening ??= import('./snmp-guard.js').then(({ openSnmp }) => {
      opened = openSnmp(options);
      if (closed) opened.close();
      return opened;
    });
    return opening;
  };
  const ask = async (question: (client: SnmpClient) => Promise<SnmpReply>): Promise<SnmpReply> =>
    question(await open());
  return {
    version: options.credential.version,
    get: (oids) => ask((client) => client.get(oids)),
    getNext: (oids) => ask((client) => client.getNext(oids)),
    getBulk: (oids, nonRepeaters, maxRepetitions) =>
      ask((client) => client.getBulk(oids, nonRepeaters, maxRepetitions)),
    get requests() {
      return opened?.requests ?? 0;
    },
    close: () => {
      closed = true;
      opened?.close();
    },
  };
}
