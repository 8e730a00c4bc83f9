import type { Generated } from 'kysely';

/** The tables, the same in both databases. Times are milliseconds since 1970; yes and no are 1 and 0; lists are JSON text. */
export interface Tables {
  sites: { id: Generated<number>; name: string };
  printers: {
    id: Generated<number>;
    site_id: number;
    name: string;
    address: string;
    configured: number;
    first_seen: number;
    last_answer_at: number | null;
    gone_at: number | null;
  };
  identities: { printer_id: number; kind: string; value: string; first_at: number; last_at: number };
  verdicts: {
    printer_id: number;
    at: number;
    silent: number | null;
    layer: string;
    cause: string;
    component: string | null;
    certainty: string;
    summary: string;
    /** Deflated JSON of `outfeed.evidence/1`. */
    evidence: Buffer | null;
  };
  alerts: {
    printer_id: number;
    code: string;
    place: string;
    started_at: number;
    ended_at: number | null;
    severity: string;
    description: string | null;
  };
  series: {
    id: Generated<number>;
    printer_id: number;
    kind: string;
    place: string;
    name: string;
    type: string;
    class: string;
    colour: string | null;
    unit: string | null;
    capacity: number | null;
  };
  samples: { series_id: number; at: number; value: number };
  /** `grain` 1: an hour, 2: a day (UTC). `n` counts the changes within it. */
  rollups: {
    series_id: number;
    grain: number;
    start: number;
    n: number;
    low: number;
    high: number;
    last: number;
  };
  incidents: {
    id: string;
    site_id: number;
    printer: string;
    layer: string;
    cause: string;
    component: string | null;
    started_at: number;
    ended_at: number | null;
    affects: string;
    flapping: number;
    told: number;
    acknowledged_at: number | null;
    note: string | null;
  };
  events: {
    id: string;
    site_id: number;
    at: number;
    kind: string;
    printer: string;
    layer: string | null;
    cause: string | null;
    summary: string;
    incident: string | null;
  };
  outbox: {
    event_id: string;
    site_id: number;
    teller: string;
    /** Order of telling. */
    seq: number;
    due_at: number;
    attempts: number;
    sent_at: number | null;
    /** Messages, not events, count against a limit: events sent together share one. */
    message: string | null;
    error: string | null;
    gave_up_at: number | null;
  };
  plans: {
    id: Generated<number>;
    site_id: number;
    /** Null: the whole site. */
    printer: string | null;
    from_at: number;
    to_at: number;
    why: string;
  };
  marks: { site_id: number; name: string; at: number };
  test_pages: {
    printer_id: number;
    at: number;
    via: string;
    uri: string;
    format: string;
    taken: number;
    because: string;
    job_state: string | null;
    /** 1 when a person saw it come out; null when nobody said. */
    came_out: number | null;
  };
}
