import { execFileSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { describeWithPeers } from './peer.js';

const SHARED = fileURLToPath(new URL('../../shared/', import.meta.url));

function run(program: string, args: readonly string[], env: Record<string, string> = {}): string {
  return execFileSync(program, args, {
    encoding: 'utf8',
    timeout: 30_000,
    cwd: SHARED,
    env: { ...process.env, ...env },
  });
}

/** What is offered after some words, in any order. Each case is asked of all three shells. */
const CASES: readonly (readonly [line: string, offered: readonly string[], notOffered: readonly string[]])[] = [
  ['outfeed s', ['sweep', 'show', 'supplies', 'snapshot'], ['why']],
  ['outfeed testpage 192.0.2.21 --via ', ['ipp', 'raw', 'lpd', 'queue'], []],
  ['outfeed why --f', ['--from', '--file'], ['--save']],
  ['outfeed sweep --pace ', ['gentle', 'steady', 'brisk'], []],
  ['outfeed queue --apply ', ['hold', 'cancel'], []],
  ['outfeed completion ', ['bash', 'zsh', 'fish'], []],
  ['outfeed check-config schem', ['schemas'], []],
  ['outfeed why --save schem', ['schemas'], []],
  ['outfeed compare schem', ['schemas'], []],
  ['outfeed snapshot --out schem', ['schemas'], []],
  ['outfeed testpage 192.0.2.21 --out schem', ['schemas'], []],
];

function expectOffers(offered: readonly string[], wanted: readonly string[], unwanted: readonly string[]): void {
  expect(offered).toEqual(expect.arrayContaining([...wanted]));
  for (const word of unwanted) expect(offered).not.toContain(word);
}

const lines = (text: string): string[] => text.split('\n').map((line) => line.trim().replace(/\/$/, ''));

describeWithPeers('bash completes', ['bash'], () => {
  test.each(CASES)('%s', (line, wanted, unwanted) => {
    const script = `source completion/outfeed.bash
      IFS=' ' read -r -a COMP_WORDS <<< "$LINE"
      if [[ $LINE == *' ' ]]; then COMP_WORDS+=(''); fi
      COMP_CWORD=$((\${#COMP_WORDS[@]} - 1))
      _outfeed
      printf '%s\\n' "\${COMPREPLY[@]}"`;
    expectOffers(lines(run('bash', ['--norc', '-c', script], { LINE: line })), wanted, unwanted);
  });
});

describeWithPeers('fish completes', ['fish'], () => {
  test.each(CASES)('%s', (line, wanted, unwanted) => {
    const script = 'source completion/outfeed.fish; complete -C "$LINE"';
    const offered = lines(run('fish', ['--no-config', '-c', script], { LINE: line })).map(
      (row) => row.split('\t')[0]?.replace(/\/$/, '') ?? '',
    );
    expectOffers(offered, wanted, unwanted);
  });
});

describeWithPeers('zsh completes', ['zsh'], () => {
  test.each(CASES)('%s', (line, wanted, unwanted) => {
    // An interactive shell at a terminal of its own, as nothing less has completion. It lists as soon as it may be typed to.
    const script = `zmodload zsh/zpty
      export TERM=dumb COLUMNS=300
      zpty T "zsh -f -i"
      zpty -w T 'fpath=($PWD/completion $fpath); autoload -Uz compinit; compinit -u -D; zle-line-init() { BUFFER=$LINE; CURSOR=$#BUFFER; zle list-choices; zle -R; print -n "\\nDONE-$((1+1))"; exit }; zle -N zle-line-init'
      zpty -r T out '*DONE-2*'
      print -r -- "$out"
      zpty -d T`;
    const shown = run('zsh', ['-f', '-c', script], { LINE: line });
    // The line itself is echoed first; what is offered follows on lines of its own, in columns or with a description.
    const offered = shown
      .split('\n')
      .slice(1)
      .flatMap((row) => row.split(' -- ')[0]?.split(/\s+/) ?? [])
      .map((word) => word.replace(/\/$/, ''));
    expectOffers(offered, wanted, unwanted);
  });
});

describeWithPeers('the man page', ['mandoc', 'groff'], () => {
  test('mandoc finds nothing wrong in it but that it has no date', () => {
    let found = '';
    try {
      run('mandoc', ['-T', 'lint', 'man/outfeed.1']);
    } catch (error) {
      found = String((error as { stdout?: string }).stdout);
    }
    expect(found.split('\n').filter((line) => line !== '' && !line.includes('missing date'))).toEqual([]);
  });

  test('groff sets it without a warning', () => {
    expect(run('sh', ['-c', 'groff -man -ww -z -T utf8 man/outfeed.1 2>&1'])).toBe('');
  });
});
