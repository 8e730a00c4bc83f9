import { stringify } from 'yaml';
import { parseScenario } from '../demo/load.js';
import { recordedDevice } from '../demo/recorded.js';
import type { EvidenceBundle } from '../model/why.js';
import { objectNamed } from '../probes/snmp/plan.js';
import { redactSite } from './redaction.js';
import { programVersion } from './version.js';
import { writeWhole } from './whole-file.js';

/** An address of the office that none of its own devices has; whoever keeps several recordings gives each its own. */
const ADDRESS = '127.77.0.60';
const WIDTH = 120;

/**
 * Writes what a printer answered as a device file of the made-up office, without names, addresses, serial numbers and
 * places. Throws ProgramProblem, with nothing written, when anything of those is left or the file can't be written.
 */
export async function record(bundle: EvidenceBundle, name: string, cwd: string): Promise<void> {
  const { bundles, prove } = await redactSite({ site: null, bundles: [bundle], past: [null], people: {} });
  const hidden = bundles[0] ?? bundle;
  const device = recordedDevice({ name: 'recorded', address: ADDRESS, evidence: hidden.evidence, objectNamed });
  const content = `${heading(programVersion())}${stringify(device, { lineWidth: WIDTH })}`;
  // A file that the office would not take is a bug of this program, to be met here and not by whoever gets it.
  parseScenario(content, 'recorded');
  // The file's own name is the person's choice.
  prove([{ path: 'recorded.yaml', content }]);
  await writeWhole(name, content, cwd);
}

function heading(version: string): string {
  return `# What a printer answered over SNMP and IPP, recorded by outfeed ${version}. Names, addresses, serial numbers and places are
# stand-ins; read it through before it leaves the house all the same. To keep it as a test: give it a name and an address of its own,
# say with "expect" what "outfeed why" must find, and put it into shared/office.
`;
}
