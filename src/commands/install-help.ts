import { readFile } from 'node:fs/promises';
import { fileURLToPath } from 'node:url';

/** Folder of the units and example files that come with the program. */
const CONFIG = fileURLToPath(new URL('../../config/', import.meta.url));

/** How to make the agent a service of a machine of this kind, with the paths that hold here. */
export async function installHelp(platform: NodeJS.Platform): Promise<string> {
  const file =
    platform === 'win32' ? 'install-windows.txt' : platform === 'darwin' ? 'install-other.txt' : 'install-systemd.txt';
  const text = await readFile(`${CONFIG}service/${file}`, 'utf8');
  const program = fileURLToPath(new URL('../main.js', import.meta.url));
  return text.replaceAll('{config}', CONFIG).replaceAll('{node}', process.execPath).replaceAll('{program}', program);
}
