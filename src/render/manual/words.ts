/** The program's commands and options as plain data: what the man page and the completions of shells are made of. */
export interface ProgramWords {
  readonly name: string;
  readonly version: string;
  readonly says: string;
  readonly options: readonly OptionWords[];
  readonly commands: readonly CommandWords[];
}

export interface CommandWords {
  readonly name: string;
  readonly says: string;
  readonly arguments: readonly ArgumentWords[];
  readonly options: readonly OptionWords[];
}

export interface ArgumentWords {
  /** As it stands in the synopsis: `TARGET`, `RANGE…`. */
  readonly name: string;
  readonly says: string;
  readonly required: boolean;
  readonly repeats: boolean;
  readonly takes: Takes;
}

export interface OptionWords {
  /** `-q`, where it has one. */
  readonly short: string | null;
  /** `--quiet`. */
  readonly long: string;
  /** What follows it, as `file` in `--save <file>`; null when nothing does. */
  readonly value: string | null;
  readonly says: string;
  /** Heading of the group that several commands share; null for an option of this command alone. */
  readonly group: string | null;
  readonly takes: Takes;
}

/** What may stand in a place: files, folders, one of some words, or text that nobody can foresee. */
export type Takes = 'file' | 'folder' | 'text' | readonly string[];

/** The first sentence fragment of a description: what stands beside a word while it is completed. */
export function inShort(says: string): string {
  return says.split(/ \(|[;:]/)[0]?.trim() ?? says;
}
