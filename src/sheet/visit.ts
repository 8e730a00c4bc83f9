import { PDFDocument } from 'pdf-lib';
import { LAYERS } from '../model/layers.js';
import type { BringItem, SnapshotDocument, SnapshotPrinter, VisitQuestion, VisitStop } from '../model/snapshot.js';
import { count, rankOf } from '../render/site-words.js';
import { Composer } from './blocks.js';
import { type Block, drawPages } from './pages.js';
import { identityWords, questionBlocks, stopBlocks } from './stop.js';
import { STAND_IN, Type, type TypeFiles } from './type.js';
import { durationWords, namesWords, onPaper, SiteClock } from './words.js';

/** Everything that the parts of a sheet are made from. */
interface Sheet {
  readonly snapshot: SnapshotDocument;
  readonly compose: Composer;
  readonly clock: SiteClock;
  readonly byName: ReadonlyMap<string, SnapshotPrinter>;
  readonly onSite: readonly VisitStop[];
  readonly fromDesk: readonly VisitStop[];
}

/** The sheet to carry, as a PDF on A4 that loses nothing on Letter. Pure: the same snapshot gives the same octets. */
export async function visitSheet(snapshot: SnapshotDocument, files: TypeFiles): Promise<Uint8Array> {
  const type = new Type(files);
  const blocks = sheetBlocks(snapshot, new Composer(type));
  const site = onPaper(snapshot.site, 60);
  const furniture = {
    head: type.runs(`${site}: visit sheet`, 'regular'),
    foot: type.runs(footWords(type), 'regular'),
    number: (page: number, of: number) => type.runs(`${page} of ${of}`, 'regular'),
    size: 8.5,
  };
  const file = await PDFDocument.create({ updateMetadata: false });
  file.setTitle(`${site}: visit sheet`);
  file.setLanguage('en');
  file.setCreationDate(new Date(snapshot.madeAt));
  await type.embedInto(file);
  drawPages(file, blocks, furniture);
  return file.save();
}

function footWords(type: Type): string {
  const codes = 'Codes and passwords do not belong on this sheet.';
  return type.replaced ? `${codes} ${STAND_IN} stands for a sign that is not in its type: see site.html.` : codes;
}

function sheetBlocks(snapshot: SnapshotDocument, compose: Composer): readonly Block[] {
  const { order } = snapshot.visit;
  const isDesk = (stop: VisitStop): boolean => stop.remote && stop.afterPrevious !== true;
  const sheet: Sheet = {
    snapshot,
    compose,
    clock: new SiteClock(snapshot.timezone),
    byName: new Map(snapshot.printers.map((entry) => [entry.why.target, entry])),
    onSite: order.filter((stop) => !isDesk(stop)),
    fromDesk: order.filter(isDesk),
  };
  return [
    ...headBlocks(sheet),
    ...wrongBlocks(sheet),
    ...deskBlocks(sheet),
    ...presentBlocks(sheet),
    ...bringBlocks(sheet),
    ...runsOutBlocks(sheet),
    ...siteBlocks(sheet),
    ...warningBlocks(sheet),
    ...recordBlocks(sheet),
    ...identityBlocks(sheet),
  ];
}

const minutesOf = (stops: readonly VisitStop[]): string =>
  durationWords(stops.reduce((sum, { minutes }) => sum + minutes, 0));

function headBlocks({ snapshot, compose, clock, onSite, fromDesk }: Sheet): readonly Block[] {
  const ranks = snapshot.printers.map(rankOf);
  const number = (...wanted: readonly string[]) => ranks.filter((rank) => wanted.includes(rank)).length;
  const tally = `${count(snapshot.printers.length, 'printer')}: ${number('silent')} silent, ${number('unclear')} not known, ${number('remark', 'well')} can print.`;
  const work = [
    fromDesk.length === 0 ? null : `from the desk up to ${minutesOf(fromDesk)}`,
    onSite.length === 0 ? null : `on site up to ${minutesOf(onSite)}`,
  ].filter((words) => words !== null);
  const last = snapshot.visit.lastVisit ?? null;
  return [
    compose.text([{ text: onPaper(snapshot.site, 80), weight: 'bold' }], { size: 18, right: 'Visit sheet' }),
    compose.text(`As the printers stood on ${clock.at(snapshot.madeAt)}. Times are those of ${clock.zone}.`, {
      above: 2,
    }),
    compose.text([
      { text: tally, weight: 'bold' },
      { text: work.length === 0 ? ' Nothing to mend.' : ` Work: ${work.join(', ')}, ways not counted.` },
    ]),
    ...(last === null ? [] : [compose.text(`Last visit: ${clock.at(last)}.`)]),
    compose.toFill('Visit on (date), from, to, by:'),
    compose.text(
      'Before opening a printer, read the cautions here and the maker’s service manual. Mains, laser and fuser are for qualified people.',
      { above: 5 },
    ),
  ];
}

/** Layer by layer, from the wall socket up; at the end those of which nobody could tell. */
function wrongBlocks({ snapshot, compose, clock, byName }: Sheet): readonly Block[] {
  const { order } = snapshot.visit;
  if (order.length === 0) return [];
  const anySince = order.some(({ since }) => (since ?? null) !== null);
  const sure = order.filter(({ printer }) => byName.get(printer)?.why.silent !== null);
  const unclear = order.filter((stop) => !sure.includes(stop));
  const rank = ({ layer }: VisitStop): number => (layer === undefined ? LAYERS.length : LAYERS.indexOf(layer));
  const rows = [...[...sure].sort((a, b) => rank(a) - rank(b)), ...unclear];
  const widths = anySince ? [20, 42, 88, 30] : [20, 42, 118];
  const cells = (layer: string, stop: VisitStop) => {
    const where = byName.get(stop.printer)?.knownAs?.location ?? '';
    const named = [{ text: onPaper(stop.printer, 40), weight: 'bold' as const }, { text: ` ${onPaper(where, 60)}` }];
    const since = (stop.since ?? null) === null ? 'not known' : clock.at(stop.since ?? '');
    const what = unclear.includes(stop)
      ? 'Nothing that it says tells whether it prints.'
      : onPaper(stop.summary ?? '', 170);
    return [[{ text: layer, weight: 'bold' as const }], named, what, ...(anySince ? [since] : [])];
  };
  let before = '';
  return [
    compose.heading('What is wrong, from the wall socket up'),
    compose.row(['Layer', 'Printer', 'What', ...(anySince ? ['Since'] : [])], widths, {
      keep: true,
      size: 8.5,
      open: true,
    }),
    ...rows.map((stop) => {
      const layer = unclear.includes(stop) ? 'not known' : (stop.layer ?? '');
      const row = compose.row(cells(layer === before ? '' : layer, stop), widths);
      before = layer;
      return row;
    }),
    ...(anySince ? [] : [compose.text('Since when is not known: no agent keeps watch over this site.', { above: 2 })]),
  ];
}

function deskBlocks({ compose, clock, byName, fromDesk }: Sheet): readonly Block[] {
  if (fromDesk.length === 0) return [];
  return [
    compose.heading(`Before you leave, from the desk: up to ${minutesOf(fromDesk)}`),
    ...fromDesk.flatMap((stop, index) =>
      stopBlocks(stop, { compose, clock, entry: byName.get(stop.printer), questions: [], number: index + 1 }),
    ),
  ];
}

function presentBlocks({ snapshot, compose }: Sheet): readonly Block[] {
  const present = snapshot.visit.present ?? [];
  if (present.length === 0) return [];
  return [
    compose.heading('To be there, or to be reached by telephone'),
    ...present.map(({ who, for: printers, because }) =>
      compose.text(
        [
          { text: onPaper(who, 160), weight: 'bold' },
          { text: `: ${onPaper(because, 500)}. For ${namesWords(printers, 20)}.` },
        ],
        {
          lead: 'box',
          above: 2,
        },
      ),
    ),
  ];
}

const BRING_TITLES: readonly (readonly [title: string, kinds: readonly (BringItem['kind'] | undefined)[]])[] = [
  ['Supplies and parts', ['supply', 'part', undefined]],
  ['Paper', ['paper']],
  ['Cables and tools', ['cable', 'tool']],
  ['Files and manuals', ['document']],
];

function bringBlocks({ snapshot, compose }: Sheet): readonly Block[] {
  const { bring } = snapshot.visit;
  if (bring.length === 0) return [];
  return [
    compose.heading('Bring'),
    ...BRING_TITLES.flatMap(([title, kinds]) => {
      const items = bring.filter(({ kind }) => kinds.includes(kind));
      if (items.length === 0) return [];
      return [
        compose.text([{ text: title, weight: 'bold' }], { above: 4, keep: true }),
        ...items.map((item) => bringBlock(compose, item)),
      ];
    }),
  ];
}

function bringBlock(compose: Composer, { what, for: printers, because, kind, quantity = 1 }: BringItem): Block {
  const counted = kind === undefined || kind === 'supply' || kind === 'part' || kind === 'paper';
  const why = counted ? ` ${onPaper(because, 160)}` : '';
  return compose.text(
    [
      { text: `${counted ? `${quantity} × ` : ''}${onPaper(what, 160)}`, weight: 'bold' },
      { text: ` for ${namesWords(printers)}.${why}` },
    ],
    { lead: 'box', above: 1.5 },
  );
}

function runsOutBlocks({ snapshot, compose }: Sheet): readonly Block[] {
  const { runsOut = [], nextVisit = '' } = snapshot.visit;
  if (runsOut.length === 0) return [];
  const widths = [50, 60, 25, 45];
  return [
    compose.heading(`Used up, or may be, before the next visit (${nextVisit})`),
    compose.row(['Printer', 'Supply', 'Level', 'Lasts until about (at worst)'], widths, {
      keep: true,
      size: 8.5,
      open: true,
    }),
    ...runsOut.map(({ printer, supply, percent, state, emptyAt }) =>
      compose.row(
        [
          onPaper(printer, 40),
          onPaper(supply, 60),
          percent === null || state === 'full' ? state : `${percent} %, ${state}`,
          emptyAt === null ? 'no history to tell' : `${emptyAt.median} (${emptyAt.low})`,
        ],
        widths,
      ),
    ),
  ];
}

function siteBlocks({ snapshot, compose, clock, byName, onSite }: Sheet): readonly Block[] {
  if (onSite.length === 0) return [];
  const seen = new Set<string>();
  return [
    compose.heading(`On site, in this order: up to ${minutesOf(onSite)}`),
    compose.text('A step that begins with “Say” can be tried by telephone before you leave.', { keep: true }),
    ...onSite.flatMap((stop, index) => {
      const questions = seen.has(stop.printer) ? [] : questionsOf(snapshot, stop.printer);
      seen.add(stop.printer);
      return stopBlocks(stop, { compose, clock, entry: byName.get(stop.printer), questions, number: index + 1 });
    }),
  ];
}

/** What stops nothing yet, to be seen to on the way. */
function warningBlocks({ snapshot, compose }: Sheet): readonly Block[] {
  const warned = snapshot.printers.flatMap((entry) => entry.why.warnings.map((blame) => ({ entry, blame })));
  if (warned.length === 0) return [];
  const widths = [62, 118];
  return [
    compose.heading('Stops nothing yet: to see to on the way'),
    ...warned.map(({ entry, blame }, index) => {
      const name = { text: onPaper(entry.why.target, 40), weight: 'bold' as const };
      const where = { text: ` ${onPaper(entry.knownAs?.location ?? '', 60)}` };
      return compose.row([[name, where], onPaper(blame.summary, 170)], widths, { open: index === 0 });
    }),
  ];
}

function questionsOf({ visit }: SnapshotDocument, printer: string): readonly VisitQuestion[] {
  return (visit.questions ?? []).filter((question) => question.printer === printer);
}

/** What is open of printers that nobody has to go to for a fault. */
function recordBlocks({ snapshot, compose, onSite, byName }: Sheet): readonly Block[] {
  const stopped = new Set(onSite.map(({ printer }) => printer));
  const open = snapshot.printers
    .map(({ why }) => why.target)
    .filter((printer) => !stopped.has(printer) && questionsOf(snapshot, printer).length > 0);
  if (open.length === 0) return [];
  return [
    compose.heading('To find out while you are there'),
    ...open.flatMap((printer) => [
      compose.text(
        [{ text: onPaper(printer, 60), weight: 'bold' }, { text: `  ${identityWords(byName.get(printer))}` }],
        {
          above: 4,
          keep: true,
        },
      ),
      ...questionBlocks(compose, questionsOf(snapshot, printer), 15),
    ]),
  ];
}

const STANDING = { true: 'silent', false: 'can print', null: 'not known' } as const;

function identityBlocks({ snapshot, compose }: Sheet): readonly Block[] {
  if (snapshot.printers.length === 0) return [];
  const since = snapshot.printers.some(({ sinceVisit }) => sinceVisit !== undefined);
  const widths = [32, 40, 36, 30, 24, 22, 22];
  return [
    compose.heading('Every printer: what it is and where it stands'),
    compose.row(
      ['Printer', 'Where', 'Model', 'Serial', 'Address', 'State', since ? 'Pages (since last visit)' : 'Pages'],
      widths,
      { keep: true, size: 8.5, open: true },
    ),
    ...snapshot.printers.map((entry) => compose.row(identityCells(entry), widths, { size: 8.5 })),
  ];
}

function identityCells({ why, knownAs, counters, sinceVisit }: SnapshotPrinter): readonly (string | null)[] {
  const told = (text: string | null | undefined): string | null =>
    (text ?? '').trim() === '' ? null : onPaper(text ?? '', 60);
  const pages = counters?.lifePages ?? null;
  const printed = sinceVisit?.pages ?? null;
  return [
    onPaper(why.target, 60),
    told(knownAs?.location),
    told(knownAs?.model),
    told(knownAs?.serial),
    told(why.printer.address),
    STANDING[`${why.silent}`],
    pages === null ? null : `${pages}${printed === null ? '' : ` (${printed})`}`,
  ];
}
