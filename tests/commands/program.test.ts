import { describe, expect, test } from 'vitest';
import { explain } from '../../src/commands/program.js';
import { outfeed } from './captured-io.js';

describe('bad usage: one sentence on stderr, nothing on stdout, exit 2', () => {
  test.each<[string[], string]>([
    [['shwo', 'x'], "unknown command 'shwo' (Did you mean show?)"],
    [['show'], "missing required argument 'TARGET'"],
    [['show', 'a', 'b'], 'too many arguments'],
    [['show', '192.0.2.7', '--tiemout', '5'], "unknown option '--tiemout' (Did you mean --timeout?)"],
    [['show', '192.0.2.7', '--timeout'], "option '--timeout <ms>' argument missing"],
    [['show', '192.0.2.7', '--timeout', 'soon'], '--timeout takes a whole number from 1 to 600000, not "soon"'],
    [['show', '192.0.2.7', '--timeout', '0'], '--timeout takes a whole number'],
    [['show', '192.0.2.7', '--timeout', '1e3'], '--timeout takes a whole number'],
    [['show', '192.0.2.7', '--retries', '-1'], '--retries takes a whole number from 0 to 10'],
    [['show', '192.0.2.7', '--snmp-port', '70000'], '--snmp-port takes a whole number from 1 to 65535'],
    [['show', '192.0.2.7', '--snmp-version', '4'], '--snmp-version takes 1, 2c or 3, not "4"'],
    [['show', '192.0.2.7', '--auth-protocol', 'ROT13'], '--auth-protocol takes MD5, SHA-1'],
    [['show', '192.0.2.7', '--priv-protocol', 'X'], '--priv-protocol takes DES, AES-128'],
    [['show', '192.0.2.7', '--snmp-version', '3'], '--snmp-version 3 needs --snmp-user'],
    [['show', '192.0.2.7', '--snmp-user', 'r', '--auth-key-file', 'nowhere'], 'there is no such file'],
    [['show', '192.0.2.7', '--ipp-uri', 'gopher://x'], 'is not an ipp, ipps, http'],
    [['show', '300.1.2.3'], '"300.1.2.3" is no IPv4 address'],
    [['show', '1.2.3'], '"1.2.3" is no IPv4 address'],
    [['show', ''], 'Nothing was given'],
    [['show', 'front desk'], 'holds a space'],
    [['show', '192.0.2.7', '--config', 'nowhere.yaml'], 'nowhere.yaml: there is no such file'],
    [['sweep', '300.1.2.0/24'], '300.1.2.0/24'],
    [['sweep', '127.0.0.0/8'], '--yes-large'],
    [['sweep', '192.88.99.0/24'], '--allow-public'],
    [['sweep', 'nonsense!'], 'nonsense!'],
    [['why'], 'Which printer?'],
    [['why', '192.0.2.7', '--from', 'x.json'], 'not both'],
    [['why', '--from', 'nowhere.json'], 'nowhere.json: there is no such file'],
    [['why', '192.0.2.7', '--answer', 'panel-lit'], 'CHECK=OUTCOME'],
    [['why', '192.0.2.7', '--answer', 'panel-litt=dark'], 'did you mean "panel-lit"?'],
    [['why', '192.0.2.7', '--answer', 'panel-lit=maybe'], '"panel-lit" is answered by lit, dark, not "maybe"'],
    [['completion', 'tcsh'], 'SHELL can not be "tcsh": it takes bash, zsh, fish; '],
    [['check-config', 'nowhere.yaml'], 'there is no such file'],
  ])('%j', async (argv, words) => {
    const { code, out, err } = await outfeed(argv);
    expect(err).toContain(words);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err.trimEnd().split('\n')).toHaveLength(1);
    expect(err).toMatch(/^outfeed: .*[.?]\n$/);
  });

  test('no command at all: the help, on stderr', async () => {
    const { code, out, err } = await outfeed([]);
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err).toContain('Usage: outfeed');
  });

  test('what was typed can not act on the terminal', async () => {
    const { err } = await outfeed(['show', 'a\u001b[2J\u202eb']);
    expect(err).toContain('\\x1b[2J');
    expect(err).not.toMatch(/[\u001b\u202e]/);
  });
});

describe('help and version', () => {
  test('every command of the program has a line and a help of its own', async () => {
    const { code, out, err } = await outfeed(['--help']);
    expect(code).toBe(0);
    expect(err).toBe('');
    for (const name of ['sweep', 'show', 'why', 'snapshot', 'demo', 'check-config']) {
      expect(out).toMatch(new RegExp(`^ {2}${name} `, 'm'));
      const own = await outfeed([name, '--help']);
      expect(own).toMatchObject({ code: 0, err: '' });
      expect(own.out).toContain('--json');
    }
  });

  test('--version', async () => {
    expect((await outfeed(['--version'])).out).toMatch(/^\d+\.\d+\.\d+\n$/);
  });
});

describe('a bug is told as such', () => {
  function told(error: unknown, verbose: boolean): { code: number; err: string } {
    let err = '';
    const stderr = (text: string): void => {
      err += text;
    };
    const code = explain(error, { stderr }, verbose);
    return { code, err };
  }

  test('one sentence, exit 4', () => {
    const { code, err } = told(new TypeError('x is not a\nfunction'), false);
    expect(code).toBe(4);
    expect(err).toBe('outfeed failed: x is not a\\nfunction; please report this, with what --verbose adds.\n');
  });

  test('the stack only with --verbose', () => {
    expect(told(new Error('x'), true).err).toContain('  at ');
    expect(told(new Error('x'), false).err).not.toContain(' at ');
    expect(told('just a string', true)).toMatchObject({ code: 4 });
  });

  test('also from deep inside a command', async () => {
    const { code, err, out } = await outfeed(['show', '127.35.0.1'], {
      net: () => Promise.reject(new RangeError('no network today')),
    });
    expect({ code, err, out }).toEqual({
      code: 4,
      err: 'outfeed failed: no network today; please report this, with what --verbose adds.\n',
      out: '',
    });
  });
});

test.each([
  [['queue', '--queue-report', 'r.json', '--job', '7'], '--job does nothing without --apply.'],
  [['queue', '--yes', '7'], '--yes does nothing without --apply.'],
  [['defect', '--symptom', 'streak', '--scale', '97/100'], '--scale does nothing without --marks.'],
  [['defect', '--reading-error', '1'], '--reading-error does nothing without --marks.'],
  [['why', '--from', 'kept.json', '--user', 'mira'], '--user does nothing beside --from; leave one of them out.'],
  [
    ['why', '--from', 'kept.json', '--ipp-uri', 'ipp://192.0.2.1/'],
    '--ipp-uri does nothing beside --from; leave one of them out.',
  ],
])('%j: an option that would be passed over is refused', async (argv, says) => {
  const { code, err } = await outfeed(argv);
  expect(err).toBe(`outfeed: ${says}\n`);
  expect(code).toBe(2);
});
