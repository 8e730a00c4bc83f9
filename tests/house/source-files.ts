import { readdirSync, readFileSync } from 'node:fs';
import { dirname, join, relative, resolve, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import ts from 'typescript';

export const ROOT = resolve(dirname(fileURLToPath(import.meta.url)), '../..');
const SRC = join(ROOT, 'src');

export interface SourceFile {
  /** Path below src, forward slashes. */
  readonly path: string;
  readonly folder: string;
  readonly text: string;
  readonly imports: readonly { readonly from: string; readonly typeOnly: boolean }[];
  readonly tree: ts.SourceFile;
}

function walk(folder: string): string[] {
  return readdirSync(folder, { withFileTypes: true }).flatMap((entry) =>
    entry.isDirectory() ? walk(join(folder, entry.name)) : [join(folder, entry.name)],
  );
}

function isTypeOnly(node: ts.ImportDeclaration): boolean {
  const clause = node.importClause;
  if (!clause) return false;
  if (clause.isTypeOnly) return true;
  const named = clause.namedBindings;
  return !clause.name && named !== undefined && ts.isNamedImports(named) && named.elements.every((e) => e.isTypeOnly);
}

function importsOf(tree: ts.SourceFile): { from: string; typeOnly: boolean }[] {
  const found: { from: string; typeOnly: boolean }[] = [];
  const visit = (node: ts.Node): void => {
    if (ts.isImportDeclaration(node) && ts.isStringLiteral(node.moduleSpecifier)) {
      found.push({ from: node.moduleSpecifier.text, typeOnly: isTypeOnly(node) });
    } else if (ts.isExportDeclaration(node) && node.moduleSpecifier && ts.isStringLiteral(node.moduleSpecifier)) {
      found.push({ from: node.moduleSpecifier.text, typeOnly: node.isTypeOnly });
    } else if (ts.isCallExpression(node) && node.expression.kind === ts.SyntaxKind.ImportKeyword) {
      const target = node.arguments[0];
      if (target && ts.isStringLiteral(target)) found.push({ from: target.text, typeOnly: false });
    }
    ts.forEachChild(node, visit);
  };
  visit(tree);
  return found;
}

/** Every TypeScript file below src, parsed by the compiler. */
export function sourceFiles(): readonly SourceFile[] {
  return walk(SRC)
    .filter((file) => file.endsWith('.ts'))
    .map((file) => {
      const text = readFileSync(file, 'utf8');
      const path = relative(SRC, file).split(sep).join('/');
      const tree = ts.createSourceFile(path, text, ts.ScriptTarget.ES2022, true);
      return {
        path,
        folder: path.includes('/') ? (path.split('/')[0] ?? '') : 'main',
        text,
        tree,
        imports: importsOf(tree),
      };
    });
}

/** The file below src that a relative import names, or null for a package. */
export function resolveImport(file: SourceFile, from: string): string | null {
  if (!from.startsWith('.')) return null;
  return join(dirname(file.path), from).split(sep).join('/').replace(/\.js$/, '.ts');
}
