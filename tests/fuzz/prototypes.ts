const BUILT_IN = [Object.prototype, Array.prototype, Function.prototype, String.prototype, Number.prototype];
const COUNTS = BUILT_IN.map((prototype) => Reflect.ownKeys(prototype).length);

/** Throws when input has put something on what all objects share. */
export function mustBeUnpolluted(): void {
  for (const [i, prototype] of BUILT_IN.entries()) {
    const keys = Reflect.ownKeys(prototype);
    if (keys.length !== COUNTS[i]) throw new Error(`a built-in prototype has grown: ${String(keys.at(-1))}`);
  }
}
