import type { EventDocument } from '../model/event.js';
import { forHtml } from '../render/escape.js';

/** An event with what the store knows beside it. */
export interface MailedEvent {
  readonly event: EventDocument;
  /** One sentence about earlier times, if there were any. */
  readonly before: string | null;
}

export interface Mail {
  readonly subject: string;
  readonly text: string;
  readonly html: string;
}

const KINDS: Readonly<Record<EventDocument['kind'], string>> = {
  fault: 'Fault',
  cleared: 'Over',
  supply: 'Running out',
  'printer-new': 'New printer',
  'printer-gone': 'Gone',
};

/** The words of a mail. Pure. `clock` says a time the way the site's people do. */
export function mailOf(site: string, events: readonly MailedEvent[], clock: (at: string) => string): Mail {
  const [first] = events;
  const subject =
    events.length === 1 && first !== undefined
      ? oneLine(`${KINDS[first.event.kind]}: ${first.event.summary}`)
      : oneLine(`${site}: ${events.length} messages about printers`);
  const text = events.map((mailed) => textOf(mailed, clock)).join('\n');
  const rows = events.map((mailed) => htmlOf(mailed, clock)).join('\n');
  const foot = `outfeed, ${site}`;
  return {
    subject,
    text: `${text}\n-- \n${oneLine(foot)}\n`,
    html: `<!doctype html>\n<html lang="en"><head><meta charset="utf-8"><title>${forHtml(subject)}</title></head>
<body style="font-family:sans-serif">\n${rows}\n<p style="color:#555">${forHtml(foot)}</p></body></html>\n`,
  };
}

function textOf({ event, before }: MailedEvent, clock: (at: string) => string): string {
  const remark = before === null ? '' : `  ${oneLine(before)}\n`;
  return `${clock(event.at)}  ${KINDS[event.kind]}\n  ${oneLine(event.summary, 2000)}\n${remark}`;
}

function htmlOf({ event, before }: MailedEvent, clock: (at: string) => string): string {
  const remark = before === null ? '' : `<br><small>${forHtml(oneLine(before))}</small>`;
  const kind = `<strong>${KINDS[event.kind]}</strong>`;
  return `<p>${forHtml(clock(event.at))} ${kind}<br>${forHtml(oneLine(event.summary, 2000))}${remark}</p>`;
}

/** Printers' words may hold line breaks and control characters; a header and a line of text may not. */
function oneLine(text: string, most = 200): string {
  const plain = text.replaceAll(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]+/gu, ' ').trim();
  return plain.length > most ? `${plain.slice(0, most - 1)}…` : plain;
}
