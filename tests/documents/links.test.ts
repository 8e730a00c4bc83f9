import { existsSync, readFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, test } from 'vitest';
import { anchorsOf, DOCUMENTS, documentText, linksOf, ROOT } from './read.js';

const links = DOCUMENTS.flatMap(linksOf).filter(({ to }) => !/^[a-z]+:/.test(to));
const shown = ({ document, line, to }: (typeof links)[number]): string => `${document}:${line}: ${to}`;

/** Path of what a link leads to, from the top; its anchor, if it has one. */
function placeOf({ document, to }: (typeof links)[number]): readonly [path: string, anchor: string | undefined] {
  const [file = '', anchor] = to.split('#');
  return [file === '' ? document : join(dirname(document), file), anchor];
}

/** Within src, documents for contributors leave it out. */
const isThere = (path: string): boolean => existsSync(`${ROOT}${path}`) || existsSync(`${ROOT}src/${path}`);

describe('what the documents lead to', () => {
  test('there are links, and each leads to a file that is there', () => {
    expect(links.length).toBeGreaterThan(10);
    expect(links.filter((link) => !existsSync(`${ROOT}${placeOf(link)[0]}`)).map(shown)).toEqual([]);
  });

  test('each anchor is a heading of that document', () => {
    const lost = links.filter((link) => {
      const [path, anchor] = placeOf(link);
      return anchor !== undefined && !anchorsOf(path).has(anchor);
    });
    expect(lost.map(shown)).toEqual([]);
  });

  test('each document of shared/docs can be reached from README.md', () => {
    const reached = new Set(['README.md']);
    for (const from of reached) {
      for (const link of links) if (link.document === from) reached.add(placeOf(link)[0]);
    }
    expect(DOCUMENTS.filter((name) => name.startsWith('shared/docs/') && !reached.has(name))).toEqual([]);
  });

  test('files and folders of the program that they name are there', () => {
    const named = DOCUMENTS.flatMap((document) => {
      const paths = documentText(document).matchAll(/(?<![\w./~-])(?:config|shared|src|tests)\/[\w./-]*[\w-]/g);
      return [...paths].map(([path]) => ({ document, path }));
    });
    const made =
      /^(shared\/bill-of-materials\.json|(shared\/office|config\/models)\/NAME\.yaml|tests\/ladder\/sites|src\/ladder\/LAYER\/.*|config\/service)$/;
    const lost = named.filter(({ path }) => !made.test(path) && !isThere(path));
    expect(lost.map(({ document, path }) => `${document}: ${path}`)).toEqual([]);
  });

  test('the version that they name is this one', () => {
    const { version } = JSON.parse(readFileSync(`${ROOT}package.json`, 'utf8'));
    const named = DOCUMENTS.flatMap((document) =>
      [...documentText(document).matchAll(/outfeed-(\d+\.\d+\.\d+)\.tgz/g)].map(([, number]) => number),
    );
    expect(new Set(named)).toEqual(new Set([version]));
  });
});
