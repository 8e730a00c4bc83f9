import type { Facts } from '../../facts/facts.js';
import type { Finding, LayerJudgement } from '../../model/layers.js';

type Needs = Pick<Facts, 'life' | 'controls' | 'route' | 'elsewhere'>;

const fault = (cause: string, certainty: Finding['certainty'], evidence: readonly string[]): LayerJudgement => ({
  findings: [{ cause, severity: 'fault', certainty, evidence }],
  clearedBy: [],
});

/** Link: cable, switch, wireless. A sign of life above it clears it; silence of everybody points to the network itself. */
export function judge({ life, controls, route, elsewhere }: Needs): LayerJudgement {
  if (life?.alive) return { findings: [], clearedBy: life.evidence, summary: 'Packets reach it and come back.' };
  if (elsewhere?.length) {
    const ids = elsewhere.flatMap((e) => e.evidence);
    return { findings: [], clearedBy: ids, summary: 'The same device answers at another address.' };
  }
  if (route?.reach === 'none') return fault('own-network-down', 'sure', route.evidence);
  if (route?.carrier === false) return fault('own-network-down', 'sure', route.evidence);
  const silentControls = controls && controls.gatewayAlive !== true && controls.fellowsAlive !== true;
  if (life && silentControls) {
    const both = controls.gatewayAlive === false && controls.fellowsAlive === false;
    return fault('whole-subnet-silent', both ? 'sure' : 'likely', [...life.evidence, ...controls.evidence]);
  }
  return { findings: [], clearedBy: [], summary: 'Cable and switch port can not be seen from here.' };
}
