import type { Outcome, SnmpValue } from '../../model/evidence.js';
import type { RawVarbind } from '../../net/net.js';
import { compareOids, instanceOf } from './oid.js';
import { isBinary, objectNamed } from './plan.js';
import { evidenceValue, MAX_OCTETS } from './value.js';

/** Rows of one table that are kept. */
export const MAX_ROWS = 512;
/** Problems of one table that are kept. */
const MAX_PROBLEMS = 24;

/** A table while it is read: what has come, what went wrong, when it was asked. */
export class ReadTable {
  readonly rows: Record<string, Record<string, SnmpValue>> = {};
  readonly problems: string[] = [];
  cut = false;
  /** Worst outcome of a question about it that got no answer. */
  failure: Outcome | undefined;
  at: string | undefined;
  startedMs = 0;
  endedMs = 0;

  constructor(readonly what: string) {}

  note(problem: string): void {
    if (this.problems.length < MAX_PROBLEMS && !this.problems.includes(problem)) this.problems.push(problem);
  }

  /** Keeps a value; false when the table is full. */
  put(instance: string, name: string, binding: RawVarbind): boolean {
    let row = this.rows[instance];
    if (row === undefined) {
      if (Object.keys(this.rows).length >= MAX_ROWS) return false;
      row = {};
      this.rows[instance] = row;
    }
    const { value: raw } = binding;
    if (raw !== null && typeof raw === 'object' && raw.length > MAX_OCTETS)
      this.note(`${name}.${instance} has ${raw.length} octets: the first ${MAX_OCTETS} are kept`);
    const value = evidenceValue(binding, isBinary(name));
    if (value !== undefined) row[name] = value;
    return true;
  }
}

/** One column of a table while it is read: how far, and whether there is more. */
export class ReadColumn {
  readonly oid: string;
  /** Last OID that came: where the next question goes on. */
  at: string;
  open = true;
  /** Something has come since it was last asked. */
  moved = false;

  constructor(
    readonly table: ReadTable,
    readonly name: string,
  ) {
    this.oid = objectNamed(name).oid;
    this.at = this.oid;
  }

  /** Ends the column before its end, for a reason of its own. */
  abandon(problem: string, failure?: Outcome): void {
    this.cutOff(`${this.name}: ${problem}`, failure);
  }

  /** Ends the column before its end, for a reason that the whole table shares. */
  cutOff(problem: string, failure?: Outcome): void {
    if (!this.open) return;
    this.open = false;
    this.moved = true;
    this.table.cut = true;
    this.table.note(problem);
    if (failure !== undefined) this.table.failure ??= failure;
  }

  end(): void {
    this.open = false;
    this.moved = true;
  }

  /** Takes what a GETNEXT or one repetition of a GETBULK gave for this column. */
  take(binding: RawVarbind): void {
    if (!this.open) return;
    const instance = instanceOf(this.oid, binding.oid);
    const forward = compareOids(binding.oid, this.at) > 0;
    if (binding.type === 'EndOfMibView') this.end();
    else if (instance === undefined) {
      if (!forward) this.table.note(`${this.name}: the agent went back to ${binding.oid} behind the last row`);
      this.end();
    } else if (!forward) this.abandon(`the agent went back from ${this.at} to ${binding.oid}: the rest is left out`);
    else this.#keep(instance, binding);
  }

  #keep(instance: string, binding: RawVarbind): void {
    this.at = binding.oid;
    this.moved = true;
    if (binding.type.startsWith('NoSuch'))
      this.table.note(`${this.name}.${instance}: no value where the next one was asked`);
    else if (!this.table.put(instance, this.name, binding))
      this.abandon(`more than ${MAX_ROWS} rows: the rest is left out`);
  }
}
