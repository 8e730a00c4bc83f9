import type { Facts } from '../../facts/facts.js';
import type { Finding, LayerJudgement } from '../../model/layers.js';
import { type SeenPower, seenPower } from './seen.js';

type Needs = Pick<
  Facts,
  'life' | 'controls' | 'route' | 'condition' | 'name' | 'elsewhere' | 'switch' | 'operator' | 'restarts'
>;

const NOTHING: LayerJudgement = { findings: [], clearedBy: [] };

function awake(facts: Needs): LayerJudgement {
  const { condition, life } = facts;
  const asleep = condition?.word.standby || condition?.signals.some((s) => s.reason.endsWith('power-saver'));
  const findings: Finding[] =
    asleep && condition && condition.stopped === false
      ? [{ cause: 'asleep', severity: 'warning', certainty: 'likely', evidence: condition.evidence }]
      : [];
  return {
    findings: [...restarting(facts), ...findings],
    clearedBy: life?.evidence ?? [],
    summary: 'It answers, so it has power.',
  };
}

/** So many starts are nobody's habit. Common practice, no published source. */
const MANY_STARTS = 3;

/** One that came up again and again: lately a fault, some time ago something to mention. */
function restarting({ restarts }: Needs): Finding[] {
  if (restarts === undefined || restarts.inDay < MANY_STARTS) return [];
  const severity = restarts.lately >= MANY_STARTS ? 'fault' : 'warning';
  return [{ cause: 'keeps-restarting', severity, certainty: 'likely', evidence: restarts.evidence }];
}

/** Silence is the printer's own only when a control on the same way answers. */
function silence(facts: Needs): LayerJudgement {
  const { life, controls, route } = facts;
  if (!life) return NOTHING;
  const restarts = restarting(facts).filter(({ severity }) => severity === 'fault');
  if (restarts.length > 0) return { findings: restarts, clearedBy: [] };
  if (route?.reach === 'none' || route?.carrier === false) {
    return { ...NOTHING, summary: 'This machine has no way to it, so nothing is known of its power.' };
  }
  const othersAnswer = controls?.gatewayAlive === true || controls?.fellowsAlive === true;
  const othersSilent = controls !== undefined && !othersAnswer;
  if (othersSilent)
    return { ...NOTHING, summary: 'Its neighbours are silent as well, so nothing is known of its power.' };
  return {
    findings: [
      {
        cause: 'no-sign-of-life',
        severity: 'fault',
        // Power, cable and a hung printer look alike from here, so it is never sure.
        certainty: othersAnswer ? 'likely' : 'possible',
        ...(controls?.gateway ? { detail: { gateway: controls.gateway } } : {}),
        evidence: [...life.evidence, ...(othersAnswer ? (controls?.evidence ?? []) : [])],
      },
    ],
    clearedBy: [],
  };
}

/** A person at the printer sees what the network does not tell. */
function bySight({ on, evidence }: SeenPower): LayerJudgement {
  if (on) return { findings: [], clearedBy: evidence, summary: 'Somebody saw that it has power.' };
  return { findings: [{ cause: 'powered-off', severity: 'fault', certainty: 'likely', evidence }], clearedBy: [] };
}

/** Power: does anything at the address give a sign of life? What can't be told from here: power from cable. */
export function judge(facts: Needs): LayerJudgement {
  if (facts.life?.alive) return awake(facts);
  if (facts.elsewhere?.length) {
    const ids = facts.elsewhere.flatMap((e) => e.evidence);
    return { findings: [], clearedBy: ids, summary: 'The same device answers at another address, so it has power.' };
  }
  const seen = seenPower(facts.operator);
  if (seen) return bySight(seen);
  if (facts.switch?.link === true) {
    const summary = 'Its switch port has a link, so its network card has power.';
    return { findings: [], clearedBy: facts.switch.evidence, summary };
  }
  if (facts.switch?.link === false) {
    return { ...NOTHING, summary: 'Its switch port has no link: power and cable can not be told apart from here.' };
  }
  if (facts.name && !facts.name.resolved && !facts.life) {
    return { ...NOTHING, summary: 'Its address is not known, so it could not be asked.' };
  }
  return silence(facts);
}
