import { expect, test } from 'vitest';
import { createLog } from '../../src/net/log.js';

function logged(level: Parameters<typeof createLog>[1], write: (log: ReturnType<typeof createLog>) => void): string[] {
  const lines: string[] = [];
  write(createLog((line) => lines.push(line), level));
  return lines;
}

test('one JSON object a line, with a time', () => {
  const [line, ...rest] = logged('info', (log) => log.info({ what: '631/tcp', tookMs: 3 }, 'asked'));
  expect(rest).toEqual([]);
  expect(line?.endsWith('}\n')).toBe(true);
  expect(JSON.parse(line ?? '')).toMatchObject({ what: '631/tcp', tookMs: 3, msg: 'asked' });
  expect((JSON.parse(line ?? '') as { time: string }).time).toMatch(/^\d{4}-\d\d-\d\dT/);
});

test('below its level it is silent', () => {
  expect(logged('warn', (log) => log.debug('unimportant'))).toEqual([]);
  expect(logged('silent', (log) => log.error('anything'))).toEqual([]);
});

test('a stranger’s text stays readable JSON and never acts', () => {
  const evil = 'a\u001b[2J\u009b31m\u202e\u200b\u{e0041}\\x9b \\\u009b "quoted" \ud800';
  const [line = ''] = logged('info', (log) => log.info({ name: evil }, evil));
  expect(line.trimEnd()).not.toMatch(/[\u0000-\u001f\u007f-\u009f\u200b\u202e]/);
  const back = (JSON.parse(line) as { name: string }).name;
  expect(back).toContain('"quoted"');
  expect(back).toContain('\\x9b31m');
});

test('fields that hold secrets are struck out', () => {
  const [line] = logged('info', (log) => log.info({ community: 'hidden', deep: { authKey: 'hidden' } }, 'tried'));
  expect(line).not.toContain('hidden');
});
