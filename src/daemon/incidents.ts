import type { EventDocument } from '../model/event.js';
import { EVENT_SCHEMA } from '../model/event.js';
import type { IncidentRecord } from '../store/change.js';
import { digest } from './digest.js';
import { type Condition, isLifeless, keyOf, type Track } from './track.js';

/** What the incidents of a site come from: its printers as they are, and what is open. */
export interface Site {
  readonly name: string;
  readonly tracks: ReadonlyMap<string, Track>;
  readonly open: ReadonlyMap<string, IncidentRecord>;
  /** Incidents begun within the last hour, for telling what comes and goes. */
  readonly begun: readonly Begun[];
}

export interface Begun {
  readonly key: string;
  readonly at: number;
}

/** What people want to hear of at this time. */
export interface Ears {
  /** Work is planned there: what happens meanwhile is no news. */
  readonly planned: (printer: string) => boolean;
  /** Somebody is there who misses a printer that was switched off. */
  readonly officeOpen: boolean;
}

export interface Settled {
  readonly open: ReadonlyMap<string, IncidentRecord>;
  readonly begun: readonly Begun[];
  /** Incidents as they are now, of those that changed. */
  readonly incidents: readonly IncidentRecord[];
  readonly events: readonly { readonly event: EventDocument; readonly incident: string }[];
}

const MINUTE = 60_000;
/** So many that fall silent within so short a time have one cause. Common practice, no published source. */
const TOGETHER = 3;
const TOGETHER_MS = 4 * MINUTE;
/** How long a silent printer waits for its neighbours to be asked, before it is an incident of its own. */
const NEIGHBOURS_MS = 90_000;
/** Begun so often within an hour, an incident "comes and goes" and ends only after half an hour of quiet. */
const FLAPPING = 4;
const HOUR = 60 * MINUTE;
const CALM_MS = 30 * MINUTE;
/** Once most are back for so long, those still silent stand for themselves. */
const LEFT_BEHIND_MS = 10 * MINUTE;

/** Brings incidents in line with the printers, and says what is to be told of it. Pure. */
export function settle(site: Site, now: number, ears: Ears): Settled {
  const work = new Settling(site, now, ears);
  work.endWhatIsOver();
  work.beginWhatIsNew();
  work.tellWhatIsUntold();
  return work.outcome();
}

class Settling {
  private readonly open: Map<string, IncidentRecord>;
  private readonly changed = new Map<string, IncidentRecord>();
  private readonly events: { event: EventDocument; incident: string }[] = [];
  private begun: readonly Begun[];

  constructor(
    private readonly site: Site,
    private readonly now: number,
    private readonly ears: Ears,
  ) {
    this.open = new Map(site.open);
    // A time ahead of now was written before the clock was put back.
    this.begun = site.begun.filter(({ at }) => Math.abs(now - at) < HOUR);
  }

  outcome(): Settled {
    return { open: this.open, begun: this.begun, incidents: [...this.changed.values()], events: this.events };
  }

  endWhatIsOver(): void {
    for (const incident of this.open.values()) {
      if (isShared(incident)) this.endShared(incident);
      else this.endSingle(incident);
    }
  }

  private endSingle(incident: IncidentRecord): void {
    const track = this.site.tracks.get(incident.printer);
    if (track === undefined) {
      this.end(incident, this.now);
      return;
    }
    if (track.confirmed === null || track.confirmed.silent === null) return;
    if (incidentKey(incident) === keyOf(track.confirmed)) return;
    if (incident.flapping && track.confirmed.silent === false && this.now - track.since < CALM_MS) return;
    this.end(incident, track.since);
  }

  private endShared(incident: IncidentRecord): void {
    const members = incident.affects.flatMap((name) => this.site.tracks.get(name) ?? []);
    const silent = members.filter((track) => isLifeless(track.confirmed) || track.confirmed === null);
    const joining = this.silentTogether(incident.component ?? '').filter(
      (track) => !incident.affects.includes(track.name) && !this.isTaken(track.name),
    );
    if (joining.length > 0) {
      this.put({ ...incident, affects: [...incident.affects, ...joining.map(({ name }) => name)].sort() });
      return;
    }
    const backSince = members.reduce((latest, track) => Math.max(latest, silent.includes(track) ? 0 : track.since), 0);
    if (silent.length === 0) this.end(incident, backSince || this.now);
    else if (silent.length * 2 < members.length && this.now - backSince > LEFT_BEHIND_MS) this.end(incident, backSince);
  }

  beginWhatIsNew(): void {
    for (const track of this.site.tracks.values()) {
      const { confirmed, name } = track;
      if (confirmed?.silent !== true || this.isTaken(name)) continue;
      if (!isLifeless(confirmed)) this.begin(track, confirmed);
      else this.beginLifeless(track, confirmed);
    }
  }

  private beginLifeless(track: Track, confirmed: Condition): void {
    const group = groupOf(track);
    const together = this.silentTogether(group).filter(
      (other) => !this.isTaken(other.name) && Math.abs(other.since - track.since) <= TOGETHER_MS,
    );
    if (together.length >= TOGETHER) {
      this.beginShared(group, together);
      return;
    }
    const all = [...this.site.tracks.values()].filter((other) => groupOf(other) === group);
    if (all.length >= TOGETHER && this.now - track.since < NEIGHBOURS_MS) return;
    this.begin(track, confirmed);
  }

  private silentTogether(group: string): readonly Track[] {
    return [...this.site.tracks.values()].filter((track) => isLifeless(track.confirmed) && groupOf(track) === group);
  }

  private isTaken(printer: string): boolean {
    return [...this.open.values()].some(({ affects }) => affects.includes(printer));
  }

  private begin(track: Track, { layer, cause, component }: Condition): void {
    this.add({ printer: track.name, layer, cause, component, startedAt: track.since, affects: [track.name] });
  }

  /** Several at once: named after the group, and after the first of them by name. */
  private beginShared(group: string, together: readonly Track[]): void {
    const names = together.map(({ name }) => name).sort();
    const all = [...this.site.tracks.values()].filter((track) => groupOf(track) === group);
    const whole = names.length === all.length ? 'whole-subnet-silent' : 'several-silent';
    this.add({
      printer: names[0] ?? group,
      layer: 'link',
      cause: group === OWN_NETWORK ? 'own-network-down' : whole,
      component: group,
      startedAt: Math.min(...together.map(({ since }) => since)),
      affects: names,
    });
  }

  private add(begun: Omit<IncidentRecord, 'id' | 'endedAt' | 'flapping' | 'told'>): void {
    const { printer, layer, cause, component, startedAt } = begun;
    const key = `${printer} ${layer}/${cause}/${component ?? ''}`;
    this.begun = [...this.begun, { key, at: startedAt }];
    const often = this.begun.filter((other) => other.key === key).length;
    const id = digest(this.site.name, printer, layer, cause, component ?? '', String(startedAt));
    this.put({ ...begun, id, endedAt: null, flapping: often >= FLAPPING, told: false });
  }

  private put(incident: IncidentRecord): void {
    this.open.set(incident.id, incident);
    this.changed.set(incident.id, incident);
  }

  private end(incident: IncidentRecord, at: number): void {
    const ended = { ...incident, endedAt: Math.max(at, incident.startedAt) };
    this.open.delete(incident.id);
    this.changed.set(incident.id, ended);
    if (ended.told) this.tell(ended, 'cleared', ended.endedAt, clearedWords(ended));
  }

  tellWhatIsUntold(): void {
    for (const incident of this.open.values()) {
      if (incident.told || !this.isNews(incident)) continue;
      const told = { ...incident, told: true };
      this.put(told);
      this.tell(told, 'fault', told.startedAt, this.faultWords(told));
    }
  }

  /** A printer that is only switched off is missed by nobody while the office is closed. */
  private isNews({ affects, cause }: IncidentRecord): boolean {
    if (affects.every((printer) => this.ears.planned(printer))) return false;
    return this.ears.officeOpen || (cause !== 'no-sign-of-life' && cause !== 'powered-off');
  }

  private tell(incident: IncidentRecord, kind: 'fault' | 'cleared', at: number, summary: string): void {
    const { id, printer, layer, cause } = incident;
    const event: EventDocument = {
      schema: EVENT_SCHEMA,
      id: digest(id, kind),
      kind,
      printer,
      layer,
      cause,
      at: new Date(at).toISOString(),
      summary,
    };
    this.events.push({ event, incident: id });
  }

  private faultWords(incident: IncidentRecord): string {
    const often = incident.flapping ? ' It comes and goes.' : '';
    if (isShared(incident)) {
      const { affects, component } = incident;
      return `${affects.length} printers fell silent together (${component}): ${listed(affects)}.${often}`;
    }
    const summary = this.site.tracks.get(incident.printer)?.confirmed?.summary ?? incident.cause;
    return `${incident.printer}: ${summary}${often}`;
  }
}

function clearedWords(incident: IncidentRecord): string {
  const minutes = Math.max(1, Math.round(((incident.endedAt ?? incident.startedAt) - incident.startedAt) / MINUTE));
  const lasted = minutes < 120 ? `${minutes} min` : `${Math.round(minutes / 60)} h`;
  const who = isShared(incident) ? `${incident.affects.length} printers (${incident.component})` : incident.printer;
  return `${who}: ${incident.cause} is over after ${lasted}.`;
}

const MOST_NAMED = 20;

function listed(names: readonly string[]): string {
  const shown = names.slice(0, MOST_NAMED).join(', ');
  return names.length > MOST_NAMED ? `${shown} and ${names.length - MOST_NAMED} more` : shown;
}

/** One cause for several printers. */
export function isShared({ affects }: Pick<IncidentRecord, 'affects'>): boolean {
  return affects.length > 1;
}

function incidentKey({ layer, cause, component }: IncidentRecord): string {
  return keyOf({ silent: true, layer, cause, component, certainty: 'sure', summary: '' });
}

const OWN_NETWORK = 'the network of this machine';

/** Printers whose silence may have one cause: behind one switch or in one subnet, or all when this machine is cut off. */
function groupOf({ group, confirmed }: Track): string {
  return confirmed?.cause === 'own-network-down' ? OWN_NETWORK : group;
}
