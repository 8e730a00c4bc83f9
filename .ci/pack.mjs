/**
 * Around `npm pack`: `before` writes the bill of materials (CycloneDX, by npm itself) and takes `prepare` out of the
 * manifest, which builds in a checkout and would stand as an install script in front of whoever installs the package;
 * `after` puts the manifest back as it was; `bill` writes the bill alone.
 */
import { execFileSync } from 'node:child_process';
import { existsSync, readFileSync, realpathSync, renameSync, writeFileSync } from 'node:fs';
import { fileURLToPath, pathToFileURL } from 'node:url';

const MANIFEST = new URL('../package.json', import.meta.url);
const LOCK = new URL('../package-lock.json', import.meta.url);
const ASIDE = new URL('../node_modules/.package-before-packing.json', import.meta.url);
const BILL = new URL('../shared/bill-of-materials.json', import.meta.url);
/** npm tells its scripts where it is; else it lies beside Node. */
const NPM =
  process.env.npm_execpath ??
  fileURLToPath(new URL('../lib/node_modules/npm/bin/npm-cli.js', pathToFileURL(realpathSync(process.execPath))));

function restore() {
  if (existsSync(ASIDE)) renameSync(ASIDE, MANIFEST);
}

/**
 * The bill of what users get. `npm sbom --omit=dev` leaves out what a developer's package needs as well (npm 11.19 lost
 * `yaml` that way), so the whole is asked for, and what the lock calls `dev` is taken out here.
 */
function writeBill() {
  const args = ['sbom', '--package-lock-only', '--sbom-format=cyclonedx'];
  const all = JSON.parse(execFileSync(process.execPath, [NPM, ...args], { encoding: 'utf8' }));
  const shipped = shippedPackages();
  const components = all.components.filter(({ name, version }) => shipped.has(`${name}@${version}`));
  const refs = new Set([all.metadata.component, ...components].map((component) => component['bom-ref']));
  const dependencies = all.dependencies
    .filter(({ ref }) => refs.has(ref))
    .map(({ ref, dependsOn }) => ({ ref, dependsOn: dependsOn.filter((one) => refs.has(one)) }));
  // npm names the folder that it runs in.
  all.metadata.component.name = JSON.parse(readFileSync(MANIFEST, 'utf8')).name;
  for (const component of components) {
    if (!component.licenses?.length) component.licenses = olderForm(component.name);
  }
  writeFileSync(BILL, `${JSON.stringify({ ...all, components, dependencies }, null, 1)}\n`);
}

function shippedPackages() {
  const { packages } = JSON.parse(readFileSync(LOCK, 'utf8'));
  const users = Object.entries(packages).filter(([path, { dev }]) => path !== '' && dev !== true);
  return new Set(users.map(([path, { version }]) => `${path.replace(/^.*node_modules\//, '')}@${version}`));
}

/** Before 2014 a package named its licences as a list of `{ type, url }`. */
function olderForm(name) {
  const { licenses } = JSON.parse(
    readFileSync(new URL(`../node_modules/${name}/package.json`, import.meta.url), 'utf8'),
  );
  return licenses.map(({ type }) => ({ license: { id: type } }));
}

function dropPrepare() {
  const manifest = JSON.parse(readFileSync(MANIFEST, 'utf8'));
  delete manifest.scripts.prepare;
  renameSync(MANIFEST, ASIDE);
  writeFileSync(MANIFEST, `${JSON.stringify(manifest, null, 2)}\n`);
}

restore();
const when = process.argv[2];
if (when === 'before' || when === 'bill') writeBill();
if (when === 'before') dropPrepare();
