import { setTimeout as delay } from 'node:timers/promises';
import type { QueueDocument, QueueEntry } from '../../src/model/queue.js';
import { outfeed } from '../commands/captured-io.js';
import type { Cupsd } from './cupsd.js';

/** A printer description with one filter: what a queue needs to run a filter of ours on a text file. */
export const descriptionWith = (filter: string): string => `*PPD-Adobe: "4.3"
*FormatVersion: "4.3"
*FileVersion: "1.0"
*LanguageVersion: English
*LanguageEncoding: ISOLatin1
*PCFileName: "SANDPIPR.PPD"
*Manufacturer: "Sandpiper"
*Product: "(Sandpiper 300)"
*ModelName: "Sandpiper 300"
*ShortNickName: "Sandpiper 300"
*NickName: "Sandpiper 300"
*PSVersion: "(3010.000) 0"
*ColorDevice: False
*cupsFilter: "text/plain 0 ${filter}"
*OpenUI *PageSize/Media Size: PickOne
*DefaultPageSize: A4
*PageSize A4/A4: ""
*CloseUI: *PageSize
*OpenUI *PageRegion/Media Size: PickOne
*DefaultPageRegion: A4
*PageRegion A4/A4: ""
*CloseUI: *PageRegion
*DefaultImageableArea: A4
*ImageableArea A4/A4: "18 36 577 806"
*DefaultPaperDimension: A4
*PaperDimension A4/A4: "595 842"
`;

/** Runs `outfeed queue … --json` and gives the document with the exit code. The machine's own spooler is left out. */
export async function ask(...argv: string[]): Promise<{ code: number; document: QueueDocument; err: string }> {
  const { code, out, err } = await outfeed(['queue', ...argv, '--json', '--timeout', '4000'], {
    env: { OUTFEED_SPOOLER: 'none' },
  });
  return { code, err, document: JSON.parse(out) as QueueDocument };
}

/** One queue, asked until it is as wanted or a good while has passed. */
export async function askUntil(
  cups: Cupsd,
  name: string,
  done: (entry: QueueEntry) => boolean,
  ...argv: string[]
): Promise<{ code: number; entry: QueueEntry }> {
  for (let attempt = 0; ; attempt += 1) {
    const { code, document } = await ask(cups.uri(name), ...argv);
    const [entry] = document.queues;
    if (entry === undefined) throw new Error(`no entry for ${name}`);
    if (done(entry) || attempt >= 60) return { code, entry };
    await delay(500);
  }
}

export const causes = (entry: QueueEntry | undefined): readonly string[] =>
  (entry?.findings ?? []).map(({ cause }) => cause);
