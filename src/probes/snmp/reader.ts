import { setTimeout as delay } from 'node:timers/promises';
import type { Outcome } from '../../model/evidence.js';
import type { Net, RawVarbind, SnmpClient, SnmpReply } from '../../net/net.js';
import { type Batch, TABLES } from './plan.js';
import { ReadColumn, ReadTable } from './table.js';
import { weight } from './value.js';

/** Questions in flight at once: enough to read a printer in one round trip, few enough for a slow agent's queue. */
const WINDOW = 7;
/** In flight when the first answer took longer than SLOW_MS: such an agent serves one after the other. */
const NARROW_WINDOW = 2;
const SLOW_MS = 300;
/** Values asked for in one question of a later wave; what most agents fit into one datagram. */
const VALUES = 64;
const MAX_REPETITIONS = 32;
const MAX_QUESTIONS = 1000;
const MAX_WEIGHT = 2 * 1024 * 1024;
/** Silences one after the other, with nothing heard between, after which the agent counts as gone. */
const MAX_SILENCES = 3;

/** As long as no GETBULK was answered, one that takes longer than this and than several of the first answer is doubted. */
const DOUBT_MS = 600;
const DOUBT_FACTOR = 4;
const NOT_YET: SnmpReply = { outcome: 'silent', varbinds: [], problems: [] };
const NO_BULK = 'the agent does not answer GETBULK: read with GETNEXT';

interface Question {
  readonly columns: readonly ReadColumn[];
  readonly repetitions: number;
}

/**
 * Reads the tables of the plan over one session: all questions of a wave at once, each continued from where its reply
 * ended until its columns end. Whatever an agent does wrong ends a column, never the reading; rows are put together
 * by their index, so a row that comes or goes between two replies is at worst incomplete.
 */
export class TableReader {
  readonly tables = new Map<string, ReadTable>();
  /** What concerns the agent as a whole. */
  readonly problems: string[] = [];
  readonly #waiting: Question[] = [];
  /** Columns of questions in flight. */
  readonly #asked = new Set<ReadColumn>();
  #later: Batch[] = [];
  #inFlight = 0;
  #questions = 0;
  #weight = 0;
  #silences = 0;
  #lastSilenceMs = 0;
  #values = VALUES;
  #bulk: boolean;
  #bulkAnswered = false;
  #window: number;
  readonly #doubtMs: number;
  #finished: () => void = () => undefined;
  #failed: (error: unknown) => void = () => undefined;
  #stopped = false;

  constructor(
    private readonly client: SnmpClient,
    private readonly net: Net,
    /** Names of scalars that had a value. */
    private readonly seen: ReadonlySet<string>,
    firstAnswerMs: number,
    private readonly batches: readonly Batch[],
  ) {
    this.#bulk = client.version !== '1';
    this.#doubtMs = Math.max(DOUBT_MS, DOUBT_FACTOR * firstAnswerMs);
    this.#window = firstAnswerMs > SLOW_MS ? NARROW_WINDOW : WINDOW;
    for (const [what, columns] of Object.entries(TABLES)) {
      const asked = batches.some(({ of }) => of.includes(what) || of.some((name) => columns.includes(name)));
      if (asked) this.tables.set(what, new ReadTable(what));
    }
  }

  /** Resolves when everything is read, given up or stopped. */
  run(): Promise<void> {
    this.#later = [...this.batches];
    return new Promise((resolve, reject) => {
      this.#finished = resolve;
      this.#failed = reject;
      this.#pump();
    });
  }

  /** Ends the reading now: what is open counts as cut, and a table without any row has that outcome. */
  stop(problem: string, outcome: Outcome): void {
    if (this.#stopped) return;
    this.#stopped = true;
    for (const { columns } of this.#waiting.splice(0)) for (const column of columns) this.#asked.add(column);
    for (const column of this.#asked) column.cutOff(problem, outcome);
    this.#finished();
  }

  #pump(): void {
    if (this.#stopped) return;
    if (this.#waiting.length === 0 && this.#inFlight === 0) this.#nextWave();
    while (this.#inFlight < this.#window && !this.#stopped) {
      const question = this.#waiting.shift();
      if (question === undefined) break;
      const excess = this.#excess();
      if (excess === undefined) this.#ask(question).catch(this.#failed);
      else {
        this.#waiting.push(question);
        this.stop(excess, 'failed');
      }
    }
    if (this.#inFlight === 0) this.#finished();
  }

  #excess(): string | undefined {
    if (this.#questions >= MAX_QUESTIONS) return `left out after ${MAX_QUESTIONS} questions`;
    return this.#weight > MAX_WEIGHT ? 'left out: the agent sent too much' : undefined;
  }

  /** Queues the batches whose condition holds by now. */
  #nextWave(): void {
    const due = this.#later.filter((batch) => batch.when === undefined || this.#hasValue(batch.when));
    this.#later = this.#later.filter((batch) => !due.includes(batch));
    for (const batch of due) this.#queue(this.#columnsOf(batch), batch.repetitions);
  }

  #hasValue(name: string): boolean {
    if (this.seen.has(name)) return true;
    return [...this.tables.values()].some((table) => Object.values(table.rows).some((row) => name in row));
  }

  #columnsOf(batch: Batch): ReadColumn[] {
    return batch.of.flatMap((of) => {
      const names = TABLES[of] ?? [of];
      const what = of in TABLES ? of : Object.keys(TABLES).find((table) => TABLES[table]?.includes(of));
      const table = this.tables.get(what ?? of);
      return table === undefined ? [] : names.map((name) => new ReadColumn(table, name));
    });
  }

  #queue(columns: readonly ReadColumn[], repetitions: number): void {
    const open = columns.filter((column) => column.open);
    const width = Math.max(1, Math.min(open.length, this.#values));
    for (let i = 0; i < open.length; i += width) this.#waiting.push({ columns: open.slice(i, i + width), repetitions });
  }

  async #ask(question: Question): Promise<void> {
    this.#inFlight++;
    this.#questions++;
    const started = this.net.monotonic();
    for (const column of question.columns) {
      column.moved = false;
      this.#asked.add(column);
      column.table.at ??= this.net.now().toISOString();
      column.table.startedMs ||= started;
    }
    const bulk = this.#bulk;
    const from = question.columns.map((column) => column.at);
    const reply = bulk ? await this.#getBulk(from, question.repetitions) : await this.client.getNext(from);
    this.#inFlight--;
    if (this.#stopped) return;
    const ended = this.net.monotonic();
    for (const column of question.columns) {
      this.#asked.delete(column);
      column.table.endedMs = ended;
    }
    for (const problem of reply.problems) question.columns[0]?.table.note(problem);
    this.#digest(question, reply, bulk, started);
    this.#pump();
  }

  /**
   * Waiting out every retry of the first GETBULK would take all the time of the reading with an agent that ignores it,
   * so after a while it counts as silence. Should the answer come after all, GETBULK is taken up again.
   */
  async #getBulk(from: readonly string[], repetitions: number): Promise<SnmpReply> {
    const asked = this.client.getBulk(from, 0, repetitions);
    if (this.#bulkAnswered) return asked;
    const waiting = new AbortController();
    const doubt = delay(this.#doubtMs, undefined, { signal: waiting.signal }).catch(() => undefined);
    const reply = await Promise.race([asked, doubt]);
    waiting.abort();
    if (reply !== undefined || this.#bulkAnswered) return reply ?? asked;
    asked.then((late) => this.#heardLate(late), this.#failed);
    return NOT_YET;
  }

  #heardLate({ outcome, error }: SnmpReply): void {
    if (outcome !== 'answered' || error !== undefined) return;
    this.#bulkAnswered = true;
    this.#bulk = true;
    if (this.problems.includes(NO_BULK)) this.problems.splice(this.problems.indexOf(NO_BULK), 1);
  }

  #digest(question: Question, reply: SnmpReply, bulk: boolean, startedMs: number): void {
    if (reply.outcome !== 'silent') this.#silences = 0;
    if (reply.outcome === 'silent') this.#silent(question, bulk, startedMs);
    else if (reply.outcome === 'garbled') this.#divide(question, 'its values can not be decoded', 'garbled');
    else if (reply.outcome !== 'answered') this.#abandon(question, reply.error ?? reply.outcome, reply);
    else if (reply.error !== undefined) this.#refused(question, reply.error, reply.errorIndex, bulk);
    else this.#take(question, reply.varbinds, bulk);
  }

  #take(question: Question, varbinds: readonly RawVarbind[], bulk: boolean): void {
    if (bulk) this.#bulkAnswered = true;
    const { columns } = question;
    varbinds.forEach((binding, i) => {
      this.#weight += weight(binding);
      columns[i % columns.length]?.take(binding);
    });
    const open = columns.filter((column) => column.open);
    if (open.length === 0) return;
    if (!columns.some((column) => column.moved)) {
      this.#divide(question, 'an answer without values', 'garbled');
      return;
    }
    const asked = bulk ? columns.length * question.repetitions : columns.length;
    if (varbinds.length < asked) this.#values = Math.max(1, Math.min(this.#values, varbinds.length));
    this.#queue(open, this.#repetitions(open.length));
  }

  #repetitions(columns: number): number {
    return Math.max(1, Math.min(MAX_REPETITIONS, Math.floor(this.#values / columns)));
  }

  /** An error-status: the object it points to ends its column, otherwise the question is asked in smaller pieces. */
  #refused(question: Question, error: string, errorIndex: number | undefined, bulk: boolean): void {
    const blamed = errorIndex === undefined ? undefined : question.columns[errorIndex - 1];
    if (error === 'tooBig') this.#smaller(question, bulk);
    else if (blamed === undefined) this.#divide(question, error, undefined);
    else {
      if (error === 'noSuchName') blamed.end();
      else blamed.abandon(`answered ${error}`);
      this.#queue(question.columns, question.repetitions);
    }
  }

  #smaller(question: Question, bulk: boolean): void {
    if (bulk && question.repetitions > 1) {
      this.#values = Math.max(
        1,
        Math.min(this.#values, Math.floor((question.columns.length * question.repetitions) / 2)),
      );
      this.#queue(question.columns, Math.floor(question.repetitions / 2));
    } else this.#divide(question, 'too big for the agent even alone', undefined);
  }

  /** Asks again in two halves; a single column is given up. */
  #divide(question: Question, problem: string, failure: 'garbled' | 'silent' | undefined): void {
    const { columns } = question;
    if (columns.length === 1) {
      const [only] = columns;
      if (problem === 'noSuchName') only?.end();
      else only?.abandon(problem, failure);
      return;
    }
    const middle = Math.ceil(columns.length / 2);
    this.#queue(columns.slice(0, middle), question.repetitions);
    this.#queue(columns.slice(middle), question.repetitions);
  }

  /** Some agents ignore GETBULK, or their long replies are lost on the way: GETNEXT asks for less. */
  #silent(question: Question, bulk: boolean, startedMs: number): void {
    if (startedMs >= this.#lastSilenceMs) {
      this.#silences++;
      this.#lastSilenceMs = this.net.monotonic();
    }
    this.#window = NARROW_WINDOW;
    if (this.#silences >= MAX_SILENCES) {
      this.#waiting.push(question);
      this.stop('no answer any more', 'silent');
    } else if (!bulk) this.#divide(question, 'no answer', 'silent');
    else {
      if (!this.#bulkAnswered && this.#bulk) {
        this.#bulk = false;
        this.problems.push(NO_BULK);
      }
      if (this.#bulkAnswered && question.repetitions === 1) this.#divide(question, 'no answer', 'silent');
      else this.#queue(question.columns, 1);
    }
  }

  #abandon(question: Question, problem: string, reply: SnmpReply): void {
    for (const column of question.columns) column.abandon(problem, reply.outcome);
  }
}
