import { readdirSync } from 'node:fs';
import type { EvidenceBundle } from '../../src/model/why.js';
import { readJson } from '../ladder/bundle.js';

const SAVED = new URL('../ladder/saved/', import.meta.url);

/** What a site tells of itself and of its people. */
export interface Planted {
  readonly name: string;
  readonly address: string;
  readonly serial: string;
  readonly place: string;
  readonly person: string;
  readonly document: string;
  readonly mac: string;
  readonly uuid: string;
}

/** Evidence of the made-up office as it was saved, one printer each. */
export function savedBundles(): readonly EvidenceBundle[] {
  return readdirSync(SAVED)
    .filter((name) => name !== 'verdicts.json')
    .map((name) => readJson<EvidenceBundle>(new URL(name, SAVED)));
}

/** A bundle with other values at every place where its own stood, and with more of them where anybody may write. */
export function planted(bundle: EvidenceBundle, values: Planted): EvidenceBundle {
  const { name, address, serial, place, person, document, mac, uuid } = values;
  const inside = (text: string): string => JSON.stringify(text).slice(1, -1);
  const own = JSON.stringify(bundle);
  const serials = new Set(
    [...own.matchAll(/"prtGeneralSerialNumber":"([^"]+)"|"serial":"([^"]+)"/g)].map((m) => m[1] ?? m[2] ?? ''),
  );
  let text = own.replaceAll(bundle.address ?? '\0', address);
  // In URIs a name is percent-encoded.
  text = text.replaceAll(`/printers/${bundle.target}`, `/printers/${inside(encodeURIComponent(name))}`);
  text = text.replaceAll(`"${bundle.target}"`, `"${inside(name)}"`);
  for (const one of serials) text = text.replaceAll(one, inside(serial));
  text = text.replace(/"sysLocation":"[^"]*"/g, `"sysLocation":"${inside(place)}"`);
  text = text.replace(/"sysContact":"[^"]*"/g, `"sysContact":"${inside(person)}"`);
  text = text.replace(
    /"ifPhysAddress":\{"hex":"[0-9a-f]{12}"\}/g,
    `"ifPhysAddress":{"hex":"${mac.replaceAll(':', '')}"}`,
  );
  text = text.replace(/urn:uuid:[0-9a-f-]{36}/g, `urn:uuid:${uuid}`);
  const changed = JSON.parse(text) as EvidenceBundle;
  return { ...changed, evidence: [...changed.evidence, ...jobs(changed, values, document)] };
}

/** A spooler's answer that names a job, its owner, a place and the printer's address. */
function jobs(
  bundle: EvidenceBundle,
  { person, place, name, address }: Planted,
  document: string,
): EvidenceBundle['evidence'] {
  const uri = 'ipp://192.0.2.250/printers/planted';
  const text = (tag: string, value: string) => [{ tag, value }];
  const job = {
    'job-id': [{ tag: 'integer', value: 9 }],
    'job-state': [{ tag: 'enum', value: 9 }],
    'job-name': text('nameWithoutLanguage', document),
    'job-originating-user-name': text('nameWithoutLanguage', person),
    'job-state-message': text('textWithoutLanguage', `sent by ${person} from ${address}, see ${name} in ${place}`),
    'vendor-note': text('textWithoutLanguage', `${document} of ${person}`),
  };
  const at = bundle.askedAt;
  const about = { source: 'spooler', about: 'queue', subject: uri, outcome: 'answered', at, tookMs: 1 } as const;
  const base = { uri, httpStatus: 200, version: '2.0', status: 'successful-ok', problems: [] };
  return [
    {
      ...about,
      id: 'e900',
      what: 'Get-Printer-Attributes',
      value: {
        ...base,
        attributes: {
          'printer-name': text('nameWithoutLanguage', 'planted'),
          'device-uri': text('uri', `socket://${address}:9100`),
          'printer-location': text('textWithoutLanguage', place),
        },
      },
    },
    { ...about, id: 'e901', what: 'Get-Jobs', value: { ...base, attributes: {}, whichJobs: 'completed', jobs: [job] } },
  ] as EvidenceBundle['evidence'];
}
