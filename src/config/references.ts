import type { ConfigFile } from './file-schema.js';

/** A file or an environment variable that a configuration points to. */
export interface Reference {
  readonly kind: 'secret-file' | 'secret-env' | 'model';
  /** Path of the file as written, or name of the variable. */
  readonly name: string;
  /** The keys that lead there. */
  readonly path: readonly (string | number)[];
}

/** All that a configuration points to, in the order of the file. */
export function referencesOf(file: ConfigFile): readonly Reference[] {
  return walk(file, []);
}

function walk(value: unknown, path: readonly (string | number)[]): readonly Reference[] {
  if (Array.isArray(value)) return value.flatMap((entry, at) => walk(entry, [...path, at]));
  if (typeof value !== 'object' || value === null) return [];
  return Object.entries(value).flatMap(([key, entry]) => {
    const kind = kindOf(key);
    if (kind !== undefined && typeof entry === 'string') return [{ kind, name: entry, path: [...path, key] }];
    return walk(entry, [...path, key]);
  });
}

function kindOf(key: string): Reference['kind'] | undefined {
  if (key === 'model') return 'model';
  if (key.endsWith('File')) return 'secret-file';
  return key.endsWith('Env') ? 'secret-env' : undefined;
}
