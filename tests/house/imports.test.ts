import ts from 'typescript';
import { describe, expect, test } from 'vitest';
import { resolveImport, type SourceFile, sourceFiles } from './source-files.js';

/** A folder may import from itself and from those listed. The table of DEVELOPERS.md. */
const CORE = ['registry', 'model', 'wire'];
const READING = [...CORE, 'queues', 'printhost'];
const JUDGING = [...READING, 'facts', 'ladder', 'verdict'];
const MAY_IMPORT: Readonly<Record<string, readonly string[]>> = {
  registry: [],
  model: ['registry'],
  wire: ['registry', 'model'],
  config: ['registry', 'model', 'wire'],
  queues: CORE,
  printhost: [...CORE, 'queues'],
  net: CORE,
  probes: [...CORE, 'net'],
  demo: [...CORE, 'net', 'config'],
  facts: READING,
  ladder: [...READING, 'facts'],
  verdict: [...READING, 'facts', 'ladder'],
  sweep: [...JUDGING, 'net', 'probes'],
  snapshot: JUDGING,
  redact: JUDGING,
  forecast: JUDGING,
  defects: JUDGING,
  testpage: CORE,
  store: CORE,
  render: [...JUDGING, 'sweep', 'snapshot', 'forecast', 'defects'],
  sheet: [...JUDGING, 'snapshot', 'render'],
  page: [...JUDGING, 'defects', 'render'],
  daemon: [...JUDGING, 'net', 'probes', 'config', 'sweep', 'store', 'render', 'page'],
  commands: [
    ...JUDGING,
    'net',
    'probes',
    'config',
    'demo',
    'sweep',
    'snapshot',
    'redact',
    'forecast',
    'defects',
    'testpage',
    'sheet',
    'store',
    'render',
    'page',
    'daemon',
  ],
  main: ['commands', 'model', 'net'],
};

const PURE = new Set([
  'registry',
  'model',
  'wire',
  'queues',
  'printhost',
  'facts',
  'ladder',
  'verdict',
  'forecast',
  'defects',
  'testpage',
  'redact',
  'render',
  'page',
  'sheet',
]);
const IO_ALLOWED = [
  /^net\//,
  /^demo\//,
  /^store\//,
  /^daemon\/outside\//,
  /^config\/(load|given-file)\.ts$/,
  /^commands\//,
  /^start\.ts$/,
  /^registry\/generate/,
  /^build\.ts$/,
  /^snapshot\/write\.ts$/,
  /^model\/schemas\/generate/,
];
const IO_MODULES =
  /^(node:)?(fs|fs\/promises|net|dgram|tls|http|https|http2|dns|dns\/promises|child_process|readline|worker_threads|os)$|^(net-snmp|bonjour-service|multicast-dns|pino|cli-progress|libsql|pg|nodemailer|fastify)$/;
/** Pure parts of modules that can also reach out. */
const HARMLESS: Readonly<Record<string, readonly string[]>> = {
  'node:net': ['isIP', 'isIPv4', 'isIPv6'],
  net: ['isIP'],
};

const files = sourceFiles();
const mayDoIo = (file: SourceFile): boolean => IO_ALLOWED.some((allowed) => allowed.test(file.path));

function namesImported(file: SourceFile, from: string): string[] {
  return file.tree.statements.flatMap((node) => {
    if (!ts.isImportDeclaration(node) || !ts.isStringLiteral(node.moduleSpecifier)) return [];
    const named = node.importClause?.namedBindings;
    if (node.moduleSpecifier.text !== from || !named || !ts.isNamedImports(named)) return [];
    return named.elements.map((e) => (e.propertyName ?? e.name).text);
  });
}

describe('who may import whom', () => {
  test('every folder below src stands in the table', () => {
    expect([...new Set(files.map((f) => f.folder))].filter((folder) => !(folder in MAY_IMPORT))).toEqual([]);
  });

  test('no folder imports from its right', () => {
    const wrong = files.flatMap((file) =>
      file.imports.flatMap(({ from }) => {
        const target = resolveImport(file, from);
        if (target === null) return [];
        const folder = target.includes('/') ? (target.split('/')[0] ?? '') : 'main';
        const allowed = folder === file.folder || MAY_IMPORT[file.folder]?.includes(folder);
        return allowed ? [] : [`${file.path} imports ${target}`];
      }),
    );
    expect(wrong).toEqual([]);
  });

  test('no import cycles', () => {
    const graph = new Map(
      files.map((file) => [file.path, file.imports.flatMap(({ from }) => resolveImport(file, from) ?? [])]),
    );
    const done = new Set<string>();
    const cycles: string[] = [];
    const visit = (path: string, trail: readonly string[]): void => {
      if (trail.includes(path)) {
        cycles.push([...trail.slice(trail.indexOf(path)), path].join(' → '));
        return;
      }
      if (done.has(path)) return;
      for (const next of graph.get(path) ?? []) visit(next, [...trail, path]);
      done.add(path);
    };
    for (const path of graph.keys()) visit(path, []);
    expect(cycles).toEqual([]);
  });
});

describe('input, output and the clock', () => {
  test('sockets, processes and files only where they belong', () => {
    const wrong = files
      .filter((file) => !mayDoIo(file))
      .flatMap((file) =>
        file.imports.flatMap(({ from, typeOnly }) => {
          if (typeOnly || !IO_MODULES.test(from)) return [];
          const names = namesImported(file, from);
          const harmless = names.length > 0 && names.every((name) => HARMLESS[from]?.includes(name));
          return harmless ? [] : [`${file.path} imports ${from}`];
        }),
      );
    expect(wrong).toEqual([]);
  });

  test('pure folders take no time and no chance of their own', () => {
    const FORBIDDEN = new Set([
      'Date.now',
      'Math.random',
      'performance.now',
      'process.hrtime',
      'process.env',
      'process.cwd',
    ]);
    const wrong = files
      .filter((f) => PURE.has(f.folder) && !mayDoIo(f))
      .flatMap((file) => {
        const found: string[] = [];
        const visit = (node: ts.Node): void => {
          if (ts.isPropertyAccessExpression(node) && FORBIDDEN.has(node.getText())) found.push(node.getText());
          if (ts.isNewExpression(node) && node.expression.getText() === 'Date' && (node.arguments?.length ?? 0) === 0) {
            found.push('new Date()');
          }
          ts.forEachChild(node, visit);
        };
        visit(file.tree);
        return found.map((what) => `${file.path}: ${what}`);
      });
    expect(wrong).toEqual([]);
  });

  test('the process is ended in one place', () => {
    const wrong = files.filter((f) => f.path !== 'start.ts' && f.text.includes('process.exit(')).map((f) => f.path);
    expect(wrong).toEqual([]);
  });
});
