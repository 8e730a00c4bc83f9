import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

export const ROOT = fileURLToPath(new URL('../../', import.meta.url));

/** Everything that tells a person what to type. */
export const DOCUMENTS: readonly string[] = [
  'README.md',
  'DEVELOPERS.md',
  ...readdirSync(`${ROOT}shared/docs`).map((name) => `shared/docs/${name}`),
  ...readdirSync(`${ROOT}config/service`)
    .filter((name) => /^install-.*\.txt$/.test(name))
    .map((name) => `config/service/${name}`),
];

export interface Command {
  readonly document: string;
  readonly line: number;
  /** Without prompt, comment and `npx` in front of outfeed; what stands between `&&` is a command of its own. */
  readonly text: string;
}

/** A fenced block: the word behind the fence, and what it holds. */
export interface Block {
  readonly document: string;
  readonly line: number;
  readonly language: string;
  readonly text: string;
}

export function documentText(document: string): string {
  return readFileSync(`${ROOT}${document}`, 'utf8');
}

/** Programs that a line of a document may begin with. */
const PROGRAMS =
  /^(?:[A-Z]+=\S+ )?(?:outfeed|npx|npm|node|sudo|systemctl|systemd-analyze|journalctl|curl|schtasks|install|mkdir|cp|chmod|rm|find|psql|pg_dump|pg_restore|promtool|\{node\}|\*\/5) \S/;
const SHELL = new Set(['sh', 'bat', 'cron']);

export function blocksOf(document: string): readonly Block[] {
  const blocks: Block[] = [];
  let open: { line: number; language: string; lines: string[] } | undefined;
  documentText(document)
    .split('\n')
    .forEach((line, at) => {
      const fence = /^```(\w*)/.exec(line);
      if (fence === null) open?.lines.push(line);
      else if (open === undefined) open = { line: at + 1, language: fence[1] ?? '', lines: [] };
      else {
        blocks.push({ document, line: open.line, language: open.language, text: open.lines.join('\n') });
        open = undefined;
      }
    });
  return blocks;
}

/** Text of a document with its fenced blocks emptied, so that lines keep their numbers. */
export function proseOf(document: string): string {
  let inside = false;
  const lines = documentText(document).split('\n');
  return lines
    .map((line) => {
      const fence = line.startsWith('```');
      if (fence) inside = !inside;
      return fence || inside ? '' : line;
    })
    .join('\n');
}

/** Every command line of a document: of its blocks, of its indented lines, and whole commands within a sentence. */
export function commandsOf(document: string): readonly Command[] {
  const lines = document.endsWith('.txt') ? indented(document) : [...inBlocks(document), ...inSentences(document)];
  return lines.flatMap(({ line, text }) =>
    text
      .split(' && ')
      .map((part) => ({ document, line, text: part.trim().replace(/^npx (?=outfeed )/, '') }))
      .filter((command) => command.text !== ''),
  );
}

type Line = Pick<Command, 'line' | 'text'>;

function inBlocks(document: string): readonly Line[] {
  return blocksOf(document).flatMap(({ line: first, language, text }) =>
    text.split('\n').flatMap((whole, at) => {
      const line = first + at + 1;
      if (SHELL.has(language)) return { line, text: withoutComment(whole) };
      return whole.startsWith('$ ') ? { line, text: whole.slice(2) } : [];
    }),
  );
}

/** A name alone, as in `outfeed why`, speaks of a command and is none to be typed. */
function inSentences(document: string): readonly Line[] {
  const prose = proseOf(document);
  return [...prose.matchAll(/`([^`\n]+\n?[^`\n]*)`/g)]
    .map(({ 1: text = '', index }) => ({
      line: prose.slice(0, index).split('\n').length,
      text: text.replaceAll(/\s+/g, ' '),
    }))
    .filter(({ text }) => PROGRAMS.test(text) && !/^outfeed [a-z][a-z-]*$/.test(text));
}

function indented(document: string): readonly Line[] {
  return documentText(document)
    .split('\n')
    .map((whole, at) => ({ line: at + 1, text: whole.trim() }))
    .filter(({ text }) => PROGRAMS.test(text));
}

function withoutComment(line: string): string {
  return line.replace(/(^|\s+)# .*$/, '').trim();
}

export interface Link {
  readonly document: string;
  readonly line: number;
  readonly to: string;
}

export function linksOf(document: string): readonly Link[] {
  return proseOf(document)
    .split('\n')
    .flatMap((whole, at) =>
      [...whole.replaceAll(/`[^`]*`/g, '').matchAll(/\]\(([^)\s]+)\)/g)].map(([, to = '']) => ({
        document,
        line: at + 1,
        to,
      })),
    );
}

/** The anchors of a document's headings, as viewers of Markdown commonly make them (common practice, no published source). */
export function anchorsOf(document: string): ReadonlySet<string> {
  const headings = [...proseOf(document).matchAll(/^#{1,6} (.+)$/gm)];
  return new Set(
    headings.map(([, words = '']) =>
      words
        .toLowerCase()
        .replaceAll(/[^\p{L}\p{N}\s_-]/gu, '')
        .trim()
        .replaceAll(' ', '-'),
    ),
  );
}
