import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { outfeed } from '../commands/captured-io.js';
import { closed, published } from '../schemas/validator.js';
import { Cupsd } from './cupsd.js';
import { describeWithPeers } from './peer.js';
import { ask, askUntil, causes, descriptionWith } from './queue-command.js';

/** On loopback the spooler takes no other name for itself. */
const HOST = '127.0.0.1';
const TOOLS = ['cupsd', 'lpadmin', 'lp', 'cupsdisable', 'cupsreject', 'cancel'];

/** Backends report by exit code: 2 a sign-in is wanted, 4 stop the queue, 5 cancel the job (backend(7) of that spooler). */
const PROGRAMS = {
  'backend/stopper': 'cat $6 > /dev/null; exit 4',
  'backend/asks': 'exit 2',
  'backend/fails': 'exit 1',
  'backend/wants': 'echo "STATE: +media-needed-error" >&2; sleep 60',
  'backend/quick': 'cat $6 > /dev/null; exit 0',
  'backend/slow': 'cat $6 > /dev/null; sleep 45; exit 0',
  'filter/broken': 'echo "ERROR: this page can not be drawn" >&2; exit 1',
  'filter/dies': 'kill -SEGV $$',
};

/** Each state is made with the spooler's own tools or with backends and filters of ours; nothing is said to it by us. */
describeWithPeers('the queue command on a real spooler', TOOLS, () => {
  let cups: Cupsd;
  beforeAll(async () => {
    cups = await Cupsd.start(HOST, PROGRAMS);
    // What takes its time begins first: a device where nobody listens is known as such only after a while.
    await queue('dead', `socket://${HOST}:1`);
    await cups.print('dead', '-t', 'lost');
  }, 60_000);
  afterAll(() => cups?.stop());

  async function queue(name: string, device = `socket://${HOST}:1`, ...argv: string[]): Promise<void> {
    await cups.tool('lpadmin', '-p', name, '-E', '-v', device, '-m', 'raw', ...argv);
  }

  async function filtered(name: string, filter: string): Promise<void> {
    const file = cups.file(`${name}.ppd`, descriptionWith(filter));
    await cups.tool('lpadmin', '-p', name, '-E', '-v', 'quick:/', '-P', file);
    await cups.print(name);
  }

  test('well: nothing found, nobody waits', async () => {
    await queue('well');
    const { code, document } = await ask(cups.uri('well'), '--user', 'mira');
    expect(code).toBe(0);
    expect(document.queues).toMatchObject([
      { name: 'well', state: 'idle', accepting: true, jobs: [], expectedWaitSeconds: 0, findings: [] },
    ]);
    expect(document.queues[0]?.route).toMatchObject({ user: 'mira', direct: null, throughQueue: { taken: true } });
    expect(document.crashLoop).toBeNull();
    for (const validate of [published('queue'), closed('queue')]) {
      validate(document);
      expect(validate.errors ?? []).toEqual([]);
    }
  });

  test('paused by somebody, a job behind it', async () => {
    await queue('paused');
    await cups.tool('cupsdisable', '-r', 'toner is on its way', 'paused');
    await cups.print('paused', '-t', 'minutes');
    const { code, document } = await ask(cups.uri('paused'));
    expect(code).toBe(1);
    const [entry] = document.queues;
    expect(entry).toMatchObject({ state: 'stopped', message: 'toner is on its way', expectedWaitSeconds: null });
    expect(entry?.findings[0]).toMatchObject({ layer: 'queue', cause: 'queue-paused', certainty: 'sure', job: null });
    expect(entry?.findings[0]?.summary).toContain('paused by somebody');
    expect(entry?.jobs).toMatchObject([{ state: 'pending', name: 'minutes' }]);
    expect(entry?.clears).toMatchObject({ byItself: false });
  });

  test('stopped by itself over a failed transfer', async () => {
    await queue('stopper', 'stopper:/');
    await cups.print('stopper');
    const { entry } = await askUntil(cups, 'stopper', ({ state }) => state === 'stopped');
    expect(causes(entry)).toContain('queue-paused');
    expect(entry.findings[0]?.summary).toMatch(/stopped itself when job \d+ could not be sent/);
  });

  test('rejecting', async () => {
    await queue('closed');
    await cups.tool('cupsreject', 'closed');
    const { code, document } = await ask(cups.uri('closed'));
    expect(code).toBe(1);
    expect(causes(document.queues[0])).toEqual(['queue-rejecting']);
    expect(document.queues[0]?.route).toMatchObject({ stopsAt: 'queue' });
  });

  test('held without end, and to a time', async () => {
    await queue('holding');
    await cups.print('holding', '-H', 'indefinite');
    const first = await ask(cups.uri('holding'));
    expect(first.document.queues[0]?.findings).toMatchObject([{ layer: 'job', cause: 'job-held', severity: 'fault' }]);
    expect(first.document.queues[0]?.findings[0]?.summary).toContain('until somebody releases it');
    await queue('later');
    await cups.print('later', '-H', '23:59');
    const second = await ask(cups.uri('later'));
    expect(second.document.queues[0]?.findings[0]?.summary).toMatch(/stays so until \d\d:\d\d/);
  });

  test('a queue that holds new jobs proves nothing by that', async () => {
    await queue('keeping');
    await cups.tool('cupsdisable', '--hold', 'keeping');
    const { document } = await ask(cups.uri('keeping'));
    expect(causes(document.queues[0])).toEqual([]);
  });

  test('a filter that fails', async () => {
    await filtered('broken', 'broken');
    const { entry, code } = await askUntil(cups, 'broken', (one) => causes(one).length > 0);
    expect(code).toBe(1);
    expect(entry.findings[0]).toMatchObject({ layer: 'job', cause: 'filter-failed' });
    expect(entry.findings[0]?.job).toBe(entry.jobs[0]?.id);
  });

  test('a filter that dies of a signal', async () => {
    await filtered('dying', 'dies');
    const { entry } = await askUntil(cups, 'dying', (one) => causes(one).length > 0);
    expect(causes(entry)).toContain('filter-failed');
  });

  test('a filter that is not there: the driver lacks a part', async () => {
    await filtered('lacking', 'nowhere');
    const { entry } = await askUntil(cups, 'lacking', (one) => causes(one).length > 0);
    expect(causes(entry)).toContain('driver-missing');
  });

  test('a backend that wants a sign-in', async () => {
    await queue('asking', 'asks:/');
    await cups.print('asking');
    const { entry } = await askUntil(cups, 'asking', (one) => causes(one).length > 0);
    expect(causes(entry)).toContain('job-needs-sign-in');
  });

  test('a job given up by the system', async () => {
    await queue('giving-up', 'fails:/', '-o', 'printer-error-policy=abort-job');
    await cups.print('giving-up');
    const { entry } = await askUntil(cups, 'giving-up', (one) => causes(one).length > 0);
    expect(entry.findings[0]).toMatchObject({ layer: 'job', cause: 'job-aborted' });
  });

  test('a job that waits for paper the printer asks for', async () => {
    await queue('wanting', 'wants:/');
    await cups.print('wanting');
    const { entry } = await askUntil(cups, 'wanting', (one) => causes(one).length > 0);
    expect(causes(entry)).toEqual(['job-waits-for-media']);
    await cups.tool('cancel', '-a', 'wanting');
  });

  test('a user on the list of those refused: the queue passes the test and would refuse the job', async () => {
    await queue('choosy', undefined, '-u', 'deny:mira');
    const refused = await ask(cups.uri('choosy'), '--user', 'mira');
    expect(causes(refused.document.queues[0])).toEqual(['user-refused']);
    expect(refused.document.queues[0]?.route).toMatchObject({ stopsAt: 'queue', throughQueue: { taken: false } });
    const other = await ask(cups.uri('choosy'), '--user', 'jonas');
    expect(other.code).toBe(0);
  });

  test('a sign-in demanded before a job', async () => {
    await queue('guarded', undefined, '-o', 'printer-op-policy=signin');
    const { document } = await ask(cups.uri('guarded'), '--user', 'mira');
    expect(causes(document.queues[0])).toEqual(['sign-in-needed']);
    expect(document.queues[0]?.route).toMatchObject({ stopsAt: 'queue', throughQueue: { code: 'HTTP 401' } });
  });

  test('names that a privacy rule hides', async () => {
    await queue('discreet', undefined, '-o', 'printer-op-policy=private');
    await cups.print('discreet', '-H', 'indefinite', '-t', 'salary');
    const { document } = await ask(cups.uri('discreet'));
    expect(document.queues[0]?.jobs).toMatchObject([{ name: null, user: null, state: 'pending-held' }]);
    const { out } = await outfeed(['queue', cups.uri('discreet')]);
    expect(out).toContain('(hidden)');
    expect(out).not.toContain('salary');
  });

  test('a class and its members', async () => {
    await queue('left');
    await queue('right');
    await cups.tool('lpadmin', '-p', 'left', '-c', 'both-sides');
    await cups.tool('lpadmin', '-p', 'right', '-c', 'both-sides');
    const { document } = await ask(`ipp://${cups.server}/classes/both-sides`);
    expect(document.queues[0]).toMatchObject({ name: 'both-sides', members: ['left', 'right'], deviceUri: null });
  });

  test('no such queue', async () => {
    const { code, document } = await ask(cups.uri('nowhere'));
    expect(code).toBe(1);
    expect(causes(document.queues[0])).toEqual(['queue-absent']);
  });

  test('the waiting time of a queue whose jobs came out before', async () => {
    await queue('steady', 'quick:/');
    for (let i = 0; i < 4; i += 1) await cups.print('steady');
    const { entry } = await askUntil(cups, 'steady', (one) => one.jobs.length === 0);
    expect(entry.expectedWaitSeconds).toBe(0);
    await queue('busy', 'slow:/');
    for (let i = 0; i < 3; i += 1) await cups.print('busy');
    const busy = await askUntil(cups, 'busy', (one) => one.jobs.some(({ state }) => state === 'processing'));
    expect(busy.entry.expectedWaitSeconds).toBeNull();
    expect(busy.entry.clears.because).toContain('too few finished jobs');
    await cups.tool('cancel', '-a', 'busy');
  });

  test('the spooler’s own list is read', async () => {
    const { out } = await outfeed(['queue', '--spooler', `ipp://${cups.server}/`, '--json']);
    const { queues } = JSON.parse(out) as { queues: { name: string; uri: string }[] };
    const names = queues.map(({ name }) => name);
    expect(names).toEqual(expect.arrayContaining(['well', 'paused', 'closed']));
    expect(queues.find(({ name }) => name === 'well')?.uri).toBe(cups.uri('well'));
  });

  test('hostile names act on nobody', async () => {
    await queue('odd', undefined, '-D', 'desk \u202e\u009b<script>');
    await cups.print('odd', '-H', 'indefinite', '-t', 'a\u001b[2Jb\u202e');
    const { out } = await outfeed(['queue', cups.uri('odd')]);
    expect(out).toContain('a\\x1b[2Jb');
    expect(out).not.toMatch(/[\u001b\u009b\u202e]/);
  });

  describe('setting one job aside', () => {
    test('on hold, with its number given beforehand; the other job is left alone', async () => {
      await queue('aside');
      await cups.tool('cupsdisable', 'aside');
      await cups.print('aside', '-t', 'first');
      await cups.print('aside', '-t', 'second');
      const before = await ask(cups.uri('aside'));
      const [first, second] = before.document.queues[0]?.jobs ?? [];
      const argv = ['queue', cups.uri('aside'), '--apply', 'hold', '--job', String(first?.id)];
      const refused = await outfeed(argv);
      expect(refused.code).toBe(2);
      expect(refused.err).toContain('Nothing was changed: nobody can be asked here');
      const mistaken = await outfeed([...argv, '--yes', String(second?.id)]);
      expect(mistaken.code).toBe(2);
      const typed = await outfeed(argv, { ask: async () => String(second?.id) });
      expect(typed.err).toContain('its number was not typed');
      const done = await outfeed([...argv, '--yes', String(first?.id)]);
      expect(done.err).toMatch(/job \d+ "first".* is on hold now; nothing else was touched/);
      const after = await ask(cups.uri('aside'));
      expect(after.document.queues[0]?.jobs.map(({ state }) => state)).toEqual(
        expect.arrayContaining(['pending-held', 'pending']),
      );
    });

    test('cancelled, with its number typed', async () => {
      const before = await ask(cups.uri('aside'));
      const second = before.document.queues[0]?.jobs.find(({ name }) => name === 'second');
      const questions: string[] = [];
      const done = await outfeed(['queue', cups.uri('aside'), '--apply', 'cancel', '--job', String(second?.id)], {
        ask: async (question) => {
          questions.push(question);
          return ` ${second?.id}\n`;
        },
      });
      expect(questions[0]).toContain('"second"');
      expect(done.err).toContain('is cancelled');
      const after = await ask(cups.uri('aside'));
      expect(after.document.queues[0]?.jobs.map(({ name }) => name)).toEqual(['first']);
    });
  });

  // Last, as it needs the time that the others took.
  test('a device where nobody listens: the head job is stuck', async () => {
    const { entry, code } = await askUntil(cups, 'dead', (one) => causes(one).length > 0);
    expect(code).toBe(1);
    expect(entry.findings[0]).toMatchObject({ layer: 'queue', cause: 'head-job-stuck', certainty: 'likely' });
    expect(entry.findings[0]?.job).toBe(entry.jobs[0]?.id);
    expect(entry.clears.byItself).toBe(false);
  }, 60_000);
});

describeWithPeers('the queue command and a spooler that has ended', ['cupsd'], () => {
  test('says so', async () => {
    const cups = await Cupsd.start(HOST);
    await cups.stop();
    const { code, document } = await ask(cups.uri('any'));
    expect(code).toBe(1);
    expect(causes(document.queues[0])).toEqual(['spooler-down']);
    const listed = await outfeed(['queue', '--spooler', `ipp://${cups.server}/`, '--json']);
    expect(listed.code).toBe(1);
    expect(listed.out).toContain('spooler-down');
  });
});
