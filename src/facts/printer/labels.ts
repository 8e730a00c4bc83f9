/** Label to number, for the labels that IPP sends in place of the MIB's numbers. */

type Labels = Readonly<Record<number, string>>;
const indexes = new WeakMap<Labels, ReadonlyMap<string, { readonly number: number; readonly name: string }>>();

const plain = (label: string): string => label.toLowerCase().replace(/[-_\s]/g, '');

/**
 * Finds a label without regard to case, hyphens and blanks (`inkCartridge`, `ink-cartridge`), or a number given as
 * text. Undefined when nobody registered it.
 */
export function findLabel(labels: Labels | undefined, text: string | undefined) {
  if (labels === undefined || text === undefined) return undefined;
  let index = indexes.get(labels);
  if (index === undefined) {
    index = new Map(
      Object.entries(labels).flatMap(([number, name]) => {
        const found = { number: Number(number), name };
        return [
          [plain(name), found],
          [number, found],
        ] as const;
      }),
    );
    indexes.set(labels, index);
  }
  return index.get(plain(text));
}
