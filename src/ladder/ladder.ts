import type { Facts } from '../facts/facts.js';
import type { Finding, LayerId, LayerJudgement, LayerState } from '../model/layers.js';
import { causes as accessCauses } from './access/causes.js';
import { judge as judgeAccess } from './access/judge.js';
import { causes as addressCauses } from './address/causes.js';
import { judge as judgeAddress } from './address/judge.js';
import { causes as applicationCauses } from './application/causes.js';
import { judge as judgeApplication } from './application/judge.js';
import { causes as deviceCauses } from './device/causes.js';
import { judge as judgeDevice } from './device/judge.js';
import { causes as jobCauses } from './job/causes.js';
import { judge as judgeJob } from './job/judge.js';
import { causes as languageCauses } from './language/causes.js';
import { judge as judgeLanguage } from './language/judge.js';
import type { Cause, Layer } from './layer.js';
import { causes as linkCauses } from './link/causes.js';
import { judge as judgeLink } from './link/judge.js';
import { causes as mediaCauses } from './media/causes.js';
import { judge as judgeMedia } from './media/judge.js';
import { withPages } from './pages.js';
import { causes as portCauses } from './port/causes.js';
import { judge as judgePort } from './port/judge.js';
import { causes as powerCauses } from './power/causes.js';
import { judge as judgePower } from './power/judge.js';
import { causes as protocolCauses } from './protocol/causes.js';
import { judge as judgeProtocol } from './protocol/judge.js';
import { causes as queueCauses } from './queue/causes.js';
import { judge as judgeQueue } from './queue/judge.js';
import { isStranger, withoutStranger } from './stranger.js';
import { causes as suppliesCauses } from './supplies/causes.js';
import { judge as judgeSupplies } from './supplies/judge.js';

/** Keeps each layer's needs and judge typed to each other while they stand in one list. */
function layer<N extends keyof Facts>(definition: Layer<N>): AnyLayer {
  return {
    id: definition.id,
    causes: definition.causes,
    judge: (facts) => definition.judge(pick(facts, definition.needs)),
  };
}

export interface AnyLayer {
  readonly id: LayerId;
  readonly causes: Readonly<Record<string, Cause>>;
  readonly judge: (facts: Facts) => LayerJudgement;
}

/** A judge sees the facts that its layer named, and nothing else. */
function pick<N extends keyof Facts>(facts: Facts, needs: readonly N[]): Pick<Facts, N> {
  return Object.fromEntries(needs.map((need) => [need, facts[need]])) as unknown as Pick<Facts, N>;
}

/** The thirteen layers, lowest first. */
export const LADDER: readonly AnyLayer[] = [
  layer({
    id: 'power',
    needs: ['life', 'controls', 'route', 'condition', 'name', 'elsewhere', 'switch', 'operator', 'restarts'],
    causes: powerCauses,
    judge: judgePower,
  }),
  layer({
    id: 'link',
    needs: ['life', 'proxy', 'loss', 'path', 'ipp', 'controls', 'route', 'elsewhere', 'switch', 'operator'],
    causes: linkCauses,
    judge: judgeLink,
  }),
  layer({
    id: 'address',
    needs: ['life', 'name', 'expected', 'route', 'printer', 'elsewhere', 'ports', 'ipp', 'snmp'],
    causes: addressCauses,
    judge: judgeAddress,
  }),
  layer({
    id: 'port',
    needs: ['life', 'ports', 'loss', 'snmp', 'ipp', 'queues', 'rawChannel', 'pjl', 'condition'],
    causes: portCauses,
    judge: judgePort,
  }),
  layer({
    id: 'protocol',
    needs: ['life', 'ports', 'path', 'loss', 'ipp', 'snmp', 'queues'],
    causes: protocolCauses,
    judge: judgeProtocol,
  }),
  layer({ id: 'access', needs: ['ipp', 'snmp', 'queues'], causes: accessCauses, judge: judgeAccess }),
  layer({ id: 'device', needs: ['condition', 'ipp'], causes: deviceCauses, judge: judgeDevice }),
  layer({ id: 'media', needs: ['condition', 'printer'], causes: mediaCauses, judge: judgeMedia }),
  layer({ id: 'supplies', needs: ['condition', 'printer'], causes: suppliesCauses, judge: judgeSupplies }),
  layer({
    id: 'language',
    needs: ['condition', 'ipp', 'queues', 'jobFile', 'accepts', 'pageNeed'],
    causes: languageCauses,
    judge: judgeLanguage,
  }),
  layer({
    id: 'queue',
    needs: ['queues', 'condition', 'life', 'lpd', 'printHost'],
    causes: queueCauses,
    judge: judgeQueue,
  }),
  layer({ id: 'job', needs: ['queues', 'condition', 'printHost', 'ownJobs'], causes: jobCauses, judge: judgeJob }),
  layer({
    id: 'application',
    needs: ['operator', 'queues', 'condition'],
    causes: applicationCauses,
    judge: judgeApplication,
  }),
];

export interface Rung {
  readonly layer: LayerId;
  readonly state: LayerState;
  readonly findings: readonly Finding[];
  readonly clearedBy: readonly string[];
  /** Pages in a person's hand that show it to work. What they say of causes is weighed with the person's answers. */
  readonly seenBy: readonly string[];
  readonly summary: string;
}

function stateOf(judgement: LayerJudgement, seenBy: readonly string[], hidden: boolean): LayerState {
  if (judgement.findings.some((f) => f.severity === 'fault')) return 'fault';
  if (judgement.findings.length > 0) return 'warning';
  if (judgement.clearedBy.length > 0 || seenBy.length > 0) return 'clear';
  return hidden ? 'not-reached' : 'unknown';
}

/**
 * Climbs the ladder. The one rule about hiding: above a fault, a layer that has no evidence of its own is "not reached";
 * one that has evidence keeps what it says, since it stands on its own. What another device at the address says of itself
 * is no evidence about the printer.
 */
export function climb(facts: Facts): readonly Rung[] {
  let hidden = false;
  let stranger = false;
  return LADDER.map(({ id, judge }) => {
    const own = stranger ? withoutStranger(judge(facts), facts.heard) : judge(facts);
    stranger ||= id === 'address' && isStranger(own, facts);
    const { judgement, seenBy } = withPages(own, id, facts.pages, stranger);
    const state = stateOf(judgement, seenBy, hidden);
    hidden ||= state === 'fault';
    return {
      layer: id,
      state,
      findings: judgement.findings,
      clearedBy: judgement.clearedBy,
      seenBy,
      summary: judgement.summary ?? '',
    };
  });
}

/** Words and frequency of a cause. */
export function causeOf(layerId: LayerId, cause: string): Cause | undefined {
  const causes = LADDER.find((l) => l.id === layerId)?.causes;
  return causes && Object.hasOwn(causes, cause) ? causes[cause] : undefined;
}
