/** A printer's announcement by DNS-SD (RFC 6763) from one address, in answer to questions. */
import multicastDns from 'multicast-dns';

export interface Announcement {
  readonly address: string;
  readonly name: string;
  readonly uuid: string;
  readonly port: number;
}

const TTL = 120;

/** Answers for `_ipp._tcp` until closed. */
export function announce({ address, name, uuid, port }: Announcement): { close: () => Promise<void> } {
  const mdns = multicastDns({ interface: address, bind: '0.0.0.0', reuseAddr: true });
  mdns.on('error', () => undefined);
  const type = '_ipp._tcp.local';
  const instance = `${name}.${type}`;
  const host = `${name}.local`;
  mdns.on('query', (query) => {
    if (!query.questions?.some((question) => [type, instance, host].includes(question.name))) return;
    mdns.respond({
      answers: [
        { name: type, type: 'PTR', ttl: TTL, data: instance },
        { name: instance, type: 'SRV', ttl: TTL, data: { target: host, port, priority: 0, weight: 0 } },
        { name: instance, type: 'TXT', ttl: TTL, data: ['txtvers=1', `UUID=${uuid}`, 'rp=ipp/print', `ty=${name}`] },
        { name: host, type: 'A', ttl: TTL, data: address },
      ],
    });
  });
  return { close: () => new Promise((done) => mdns.destroy(() => done())) };
}
