import { isAbsolute, join } from 'node:path';
import type { Config } from '../config/config.js';
import { readConfigText } from '../config/load.js';
import { modelFileSchema } from '../config/model-file.js';
import { parseStrict } from '../config/parse.js';
import type { ModelSupplies } from '../model/cartridge.js';
import { ProgramProblem } from '../model/problem.js';

/**
 * Printer's name, in lower case → what its model file says of supplies and maintenance. ProgramProblem (exit 2) for a file
 * that can't be read or holds mistakes.
 */
export async function modelSupplies(config: Config): Promise<ReadonlyMap<string, ModelSupplies>> {
  const files = new Map<string, Promise<ModelSupplies>>();
  const printers = new Map<string, ModelSupplies>();
  for (const { name, model } of config.printers) {
    if (model === undefined) continue;
    const path = config.folder === null || isAbsolute(model) ? model : join(config.folder, model);
    const read = files.get(path) ?? readModel(path);
    files.set(path, read);
    printers.set(name.toLowerCase(), await read);
  }
  return printers;
}

async function readModel(path: string): Promise<ModelSupplies> {
  const reading = parseStrict(await readConfigText(path), modelFileSchema);
  if ('problems' in reading) {
    const [first] = reading.problems;
    throw new ProgramProblem('model-file', `${path}:${first?.line ?? 1}:${first?.column ?? 1}: ${first?.text ?? ''}.`);
  }
  const { currency, supplies = [], maintenance = [] } = reading.value;
  return { model: path, supplies, maintenance, ...(currency === undefined ? {} : { currency }) };
}
