import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { beforeAll, describe, expect, test } from 'vitest';
import { Language, type Node, Parser } from 'web-tree-sitter';
import { printHostSchema } from '../../src/model/schemas/print-host.js';

/**
 * The collector was not run: no PowerShell is at hand here. It is parsed by a grammar that nobody here wrote
 * (tree-sitter-powershell), and held to what it may call.
 */
const require_ = createRequire(import.meta.url);
const source = readFileSync(new URL('../../config/print-host-report.ps1', import.meta.url), 'utf8');

let root: Node;
beforeAll(async () => {
  await Parser.init();
  const grammar = require_.resolve('tree-sitter-powershell/tree-sitter-powershell.wasm');
  const parser = new Parser();
  parser.setLanguage(await Language.load(readFileSync(grammar)));
  const tree = parser.parse(source);
  if (tree === null) throw new Error('the grammar gave no tree');
  root = tree.rootNode;
});

function all(type: string): readonly Node[] {
  return root.descendantsOfType(type).flatMap((node) => node ?? []);
}

describe('config/print-host-report.ps1', () => {
  test('parses without an error', () => {
    const broken = [...all('ERROR'), ...root.descendantsOfType('MISSING').flatMap((node) => node ?? [])];
    expect(broken.map((node) => `${node.startPosition.row + 1}: ${node.text.slice(0, 80)}`)).toEqual([]);
    expect(root.hasError).toBe(false);
  });

  test('calls nothing that changes anything: Get-, Read-, Test-, New-Object and a few that shape output', () => {
    const commands = all('command_name').map((node) => node.text);
    expect(commands.length).toBeGreaterThan(30);
    const shaping = [
      'ForEach-Object',
      'Where-Object',
      'Select-Object',
      'ConvertTo-Json',
      'Set-StrictMode',
      'New-Object',
      'Test-Path',
    ];
    const other = commands.filter((name) => !/^(Get|Read)-\w+$/.test(name) && !shaping.includes(name));
    expect([...new Set(other)]).toEqual([]);
  });

  test('reads by the documented cmdlets', () => {
    const commands = new Set(all('command_name').map((node) => node.text));
    for (const wanted of [
      'Get-Printer',
      'Get-PrinterPort',
      'Get-PrinterDriver',
      'Get-PrintJob',
      'Get-CimInstance',
      'Get-WinEvent',
    ]) {
      expect(commands).toContain(wanted);
    }
  });

  test('every function that it calls as Read- is its own', () => {
    const own = new Set(all('function_name').map((node) => node.text));
    const called = all('command_name')
      .map((node) => node.text)
      .filter((name) => name.startsWith('Read-'));
    expect(called.filter((name) => !own.has(name))).toEqual([]);
  });

  test('writes every key of the schema', () => {
    const keys = Object.keys(printHostSchema.shape);
    const assigned = new Set(all('hash_entry').map((node) => /^\s*(\w+)/.exec(node.text)?.[1]));
    expect(keys.filter((key) => !assigned.has(key))).toEqual([]);
  });
});
