import { describe, expect, test } from 'vitest';
import { resolveTarget } from '../../src/commands/target.js';
import { parseConfig } from '../../src/config/parse.js';

const reading = parseConfig(
  `printers:
  - { name: harbour, address: 192.0.2.21, pjl: true, queues: ["lpd://192.0.2.5/plotter", "ipp://192.0.2.5/printers/h"] }
  - { name: quay, address: 192.0.2.22, pjl: true, rawPort: 9101 }
  - { name: pier, address: 192.0.2.23, pjl: false }
`,
  null,
);
if ('problems' in reading) throw new Error(JSON.stringify(reading.problems));
const { config } = reading;
const target = (typed: string, queues: readonly string[] = []) => resolveTarget(typed, config, { queues });

describe('the raw port may be asked', () => {
  test('only where the configuration says so for this printer', () => {
    expect(target('harbour').pjl).toEqual({ port: 9100 });
    expect(target('quay').pjl).toEqual({ port: 9101 });
    expect(target('pier').pjl).toBeUndefined();
  });

  test.each(['192.0.2.21', 'socket://192.0.2.21:9100', 'printer.example', 'ipp://192.0.2.21/ipp/print'])(
    'never because of what was typed: %s',
    (typed) => {
      expect(target(typed).pjl).toBeUndefined();
    },
  );
});

describe('a daemon is asked', () => {
  test('about the queue that TARGET names', () => {
    expect(target('lpd://192.0.2.21/lp').lpdQueues).toEqual([{ uri: 'lpd://192.0.2.21/lp', port: 515, queue: 'lp' }]);
    expect(target('LPD://printer.example:1515/a%2Fb').lpdQueues).toEqual([
      { uri: 'LPD://printer.example:1515/a%2Fb', port: 1515, queue: 'a/b' },
    ]);
  });

  test('about queues of the configuration and of --queue, which are then not asked over IPP', () => {
    const found = target('harbour', ['lpd://192.0.2.21:5150/direct', 'ipp://192.0.2.9/printers/q']);
    expect(found.lpdQueues).toEqual([
      { uri: 'lpd://192.0.2.21:5150/direct', port: 5150, queue: 'direct' },
      { uri: 'lpd://192.0.2.5/plotter', host: '192.0.2.5', port: 515, queue: 'plotter' },
    ]);
    expect(found.queues).toEqual(['ipp://192.0.2.9/printers/q', 'ipp://192.0.2.5/printers/h']);
  });

  test.each(['192.0.2.21', 'pier', 'lpd://192.0.2.21', 'lpd://192.0.2.21/', 'ipp://192.0.2.21/lp'])(
    'not where no queue is named: %s',
    (typed) => {
      expect(target(typed).lpdQueues).toBeUndefined();
    },
  );

  test.each([
    ['lpd://192.0.2.21/lp%0A%02lp', 'no blanks'],
    ['lpd://192.0.2.21/two%20words', 'no blanks'],
    ['lpd://192.0.2.21/%E0%A4%A', 'no blanks'],
    ['lpd://mira@192.0.2.21/lp', 'user name'],
  ])('never with a name that could hold another command: %s', (typed, complaint) => {
    expect(() => target(typed)).toThrow(complaint);
    expect(() => target('pier', [typed])).toThrow(complaint);
  });

  test('--queue needs the queue’s name', () => {
    expect(() => target('pier', ['lpd://192.0.2.5/'])).toThrow('names no queue');
    expect(() => target('pier', ['socket://192.0.2.5'])).toThrow('lpd URI');
  });
});
