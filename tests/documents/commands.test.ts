import { existsSync } from 'node:fs';
import { setTimeout as delay } from 'node:timers/promises';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import type { Captured } from '../commands/captured-io.js';
import { commandsOf, DOCUMENTS, ROOT } from './read.js';
import { openStage, type Stage } from './stage.js';
import { ASKED, BY_PEERS, IN_A_SHELL, NOT_RUN, PLAYED, type Played } from './table.js';

const documented = DOCUMENTS.flatMap(commandsOf);
const listed: readonly string[] = [
  ...Object.keys(PLAYED),
  ...Object.keys(ASKED),
  ...IN_A_SHELL,
  ...Object.keys(BY_PEERS),
  ...Object.keys(NOT_RUN),
];

describe('the commands of the documents', () => {
  test('each is run, or stands in the table with the reason why not', () => {
    const known = new Set(listed);
    const unknown = documented.filter(({ text }) => !known.has(text));
    expect(unknown.map(({ document, line, text }) => `${document}:${line}: ${text}`)).toEqual([]);
  });

  test('what no document says any more stands in no table, and nothing in two', () => {
    const said = new Set(documented.map(({ text }) => text));
    expect(listed.filter((text) => !said.has(text))).toEqual([]);
    expect(listed.filter((text, at) => listed.indexOf(text) !== at)).toEqual([]);
  });

  test.each(Object.entries(NOT_RUN))('%s is not run, but what it stands on is there', (_text, { holds }) => {
    expect(holds()).toBe(true);
  });

  test.each(Object.entries(BY_PEERS))('%s is run elsewhere', (_text, file) => {
    expect(existsSync(`${ROOT}${file}`)).toBe(true);
  });
});

/** In the order of the documents: what one command writes, the next one reads. */
const inOrder = [...new Set(documented.map(({ text }) => text))].flatMap((text): [string, Played][] => {
  const played = PLAYED[text];
  return played === undefined ? [] : [[text, played]];
});

describe('run against the made-up office', () => {
  let stage: Stage;
  beforeAll(async () => {
    stage = await openStage();
  });
  afterAll(() => stage?.close());

  /** What several documents come to is run once. */
  const done = new Map<string, Captured>();
  const once = async (line: string, until: RegExp | undefined): Promise<Captured> => {
    const fresh = done.get(line) ?? (await (until === undefined ? stage.play(line) : stage.playUntil(line, until)));
    done.set(line, fresh);
    return fresh;
  };

  test.each(inOrder)(
    '%s',
    async (text, { exit, as = [text], first = [], until }) => {
      for (const line of first) expect(await stage.play(line)).toMatchObject({ code: 0 });
      for (const line of as) {
        const { code, err } = await once(line, until);
        expect({ code, err }).toEqual({ code: exit, err: expect.not.stringMatching(/failed:|please report/) });
      }
    },
    120_000,
  );

  test('what the documents ask the agent over HTTP', async () => {
    const over = new AbortController();
    const ended = stage.play('outfeed agent', { signal: over.signal });
    for (const path of Object.values(ASKED)) expect(await statusOf(stage.pagePort, path)).toBe(200);
    over.abort();
    expect(await ended).toMatchObject({ code: 0 });
  });
});

/** The status, once somebody listens there. */
async function statusOf(port: number, path: string): Promise<number> {
  for (let tries = 0; tries < 200; tries++) {
    const answer = await fetch(`http://127.0.0.1:${port}${path}`).catch(() => undefined);
    if (answer !== undefined) return answer.status;
    await delay(50);
  }
  return 0;
}
