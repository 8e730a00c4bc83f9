/** The IPP side of a made-up printer: answers what a client may ask, counts jobs, prints nothing. */
import type { PrinterScenario, ScenarioIpp } from './device.js';
import { printerItems } from './ipp-attributes.js';
import { type IppAnswer, type IppListener, startIppHttp } from './ipp-http.js';
import type { IppRequest } from './ipp-request.js';
import { GROUP, type IppItem, item } from './ipp-writer.js';

export interface IppServer extends IppListener {
  /** Jobs taken: a reader must leave this at 0. */
  readonly jobs: () => number;
  /** How often it was asked to identify itself. */
  readonly identified: () => number;
}

/** Starts a printer's IPP server; port 0 takes a free one. `upSeconds` is asked anew for each request. */
export async function startIppServer(
  scenario: PrinterScenario,
  ipp: ScenarioIpp,
  at: { address: string; port: number },
  upSeconds: () => number,
): Promise<IppServer> {
  let jobs = 0;
  let identified = 0;
  const scheme = ipp.tls === 'none' ? 'ipp' : 'ipps';
  const answer = (request: IppRequest, path: string, authority: string): IppAnswer | undefined => {
    if (path !== ipp.path) return undefined;
    const uri = `${scheme}://${authority}${path}`;
    switch (request.operation) {
      case 'Get-Printer-Attributes':
        return attributesAnswer(request, printerItems(scenario, ipp, uri, upSeconds()));
      case 'Get-Jobs':
        return { status: 'successful-ok' };
      case 'Get-Job-Attributes':
        return { status: 'client-error-not-found' };
      case 'Validate-Job':
        return { status: refusal(ipp, request) ?? 'successful-ok' };
      case 'Identify-Printer':
        identified++;
        return { status: 'successful-ok' };
      case 'Print-Job': {
        const status = refusal(ipp, request);
        if (status) return { status };
        jobs++;
        return { status: 'successful-ok', groups: [{ tag: GROUP.job, items: jobItems(uri, jobs) }] };
      }
      default:
        return { status: 'server-error-operation-not-supported' };
    }
  };
  const listener = await startIppHttp({ title: scenario.model, settings: ipp, answer }, at);
  return { ...listener, jobs: () => jobs, identified: () => identified };
}

/** Attributes asked for by name or group (RFC 8011 4.2.5.1); all where nothing is said. */
export function attributesAnswer(request: IppRequest, items: readonly IppItem[]): IppAnswer {
  const wanted = request.attributes['requested-attributes'] ?? ['all'];
  const all = wanted.some((name) => name === 'all' || name === 'printer-description' || name === 'job-template');
  const given = all ? items : items.filter((attribute) => wanted.includes(attribute.name));
  return { status: 'successful-ok', groups: [{ tag: GROUP.printer, items: given }] };
}

/** Why a job would be refused: RFC 8011 4.2.1.2 and appendix B; undefined when it would be taken. */
function refusal(ipp: ScenarioIpp, request: IppRequest): string | undefined {
  const user = request.attributes['requesting-user-name']?.[0] ?? 'anonymous';
  if (ipp.deniedUsers.includes(user)) return 'client-error-not-authorized';
  if (!ipp.accepting) return 'server-error-not-accepting-jobs';
  const format = request.attributes['document-format']?.[0];
  if (format && !ipp.formats.includes(format)) return 'client-error-document-format-not-supported';
  return undefined;
}

function jobItems(uri: string, id: number): IppItem[] {
  return [
    item('job-id', 'integer', id),
    item('job-uri', 'uri', `${uri}/${id}`),
    item('job-state', 'enum', 9),
    item('job-state-reasons', 'keyword', 'job-completed-successfully'),
  ];
}
