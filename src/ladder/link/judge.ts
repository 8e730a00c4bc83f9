import type { Facts } from '../../facts/facts.js';
import type { SwitchFact } from '../../facts/switch.js';
import type { Finding, LayerJudgement } from '../../model/layers.js';
import { seenPower } from '../power/seen.js';

type Needs = Pick<
  Facts,
  'life' | 'proxy' | 'loss' | 'path' | 'ipp' | 'controls' | 'route' | 'elsewhere' | 'switch' | 'operator'
>;

const fault = (
  cause: string,
  certainty: Finding['certainty'],
  evidence: readonly string[],
  detail: Readonly<Record<string, string>> = {},
): LayerJudgement => ({
  findings: [{ cause, severity: 'fault', certainty, detail, evidence }],
  clearedBy: [],
});

/** Link: cable, switch, wireless. A sign of life above it clears it; silence of everybody points to the network itself. */
export function judge(facts: Needs): LayerJudgement {
  const judgement = ofCable(facts);
  return {
    ...judgement,
    findings: [...judgement.findings, ...longFinding(facts), ...lossFinding(facts), ...proxyFinding(facts)],
  };
}

/** Its print service takes calls and stays silent, and full-sized packets disappear on the way: no wonder that nothing comes. */
function longFinding({ path, loss, ipp }: Needs): Finding[] {
  if (path === undefined || ipp?.read.result !== 'silent') return [];
  const evidence = [...path.evidence, ...ipp.read.evidence];
  const certainty = loss ? 'possible' : 'likely';
  return [{ cause: 'long-packets-lost', severity: 'fault', certainty, evidence }];
}

/** To be mentioned: packets come through, some only when they were sent again. */
function lossFinding({ loss }: Needs): Finding[] {
  if (loss === undefined) return [];
  return [{ cause: 'packets-lost', severity: 'warning', certainty: 'likely', evidence: loss.evidence }];
}

/** To be mentioned: what the link shows of this address is a proxy's word. */
function proxyFinding({ proxy }: Needs): Finding[] {
  if (proxy === undefined) return [];
  const { mac, evidence } = proxy;
  return [{ cause: 'proxy-arp', severity: 'warning', certainty: 'likely', detail: { other: mac }, evidence }];
}

function ofCable(facts: Needs): LayerJudgement {
  const { life, elsewhere } = facts;
  if (life?.alive) {
    return { findings: errorFinding(facts), clearedBy: life.evidence, summary: 'Packets reach it and come back.' };
  }
  if (elsewhere?.length) {
    const ids = elsewhere.flatMap((e) => e.evidence);
    return { findings: [], clearedBy: ids, summary: 'The same device answers at another address.' };
  }
  return facts.switch?.link == null ? silence(facts) : bySwitch(facts.switch);
}

/** The switch sees the cable that this machine can not see. */
function bySwitch(seen: SwitchFact): LayerJudgement {
  if (seen.link === true) {
    return { findings: [], clearedBy: seen.evidence, summary: `Its switch port ${seen.port} has a link.` };
  }
  return fault('no-carrier', 'sure', seen.evidence, { port: String(seen.port) });
}

/** Errors that climb while one looks: a bad cable or plug. As long as packets come back it stops nothing. */
function errorFinding({ switch: seen }: Needs): Finding[] {
  if (!seen?.errorsClimbed) return [];
  const detail = { port: String(seen.port), code: String(seen.errorsClimbed) };
  return [{ cause: 'link-errors', severity: 'warning', certainty: 'sure', detail, evidence: seen.evidence }];
}

/** What a person sees of a cable without a link. */
const SHOWS_NO_LINK: Readonly<Record<string, string>> = {
  'link-light': 'dark',
  'ask-switch': 'down',
  'other-cable-or-port': 'yes',
};

/** Silent on the network although somebody saw that it has power: the cable comes first, shown or suspected. */
function bySight(operator: Needs['operator']): LayerJudgement | undefined {
  const power = seenPower(operator);
  if (!power?.on) return undefined;
  const shown = (operator ?? []).filter(({ check, outcome }) => SHOWS_NO_LINK[check] === outcome);
  const errors = (operator ?? []).find(({ check, outcome }) => check === 'ask-switch' && outcome === 'errors');
  if (errors) return fault('link-errors', 'likely', [errors.id]);
  const evidence = [...power.evidence, ...shown.map(({ id }) => id)];
  return fault('no-carrier', shown.length > 0 ? 'likely' : 'possible', evidence);
}

function silence({ life, controls, route, operator }: Needs): LayerJudgement {
  if (route?.reach === 'none') return fault('own-network-down', 'sure', route.evidence);
  if (route?.carrier === false) return fault('own-network-down', 'sure', route.evidence);
  const silentControls = controls && controls.gatewayAlive !== true && controls.fellowsAlive !== true;
  if (life && silentControls) {
    const both = controls.gatewayAlive === false && controls.fellowsAlive === false;
    const how = controls.gatewayAlive === false ? { how: `its gateway ${controls.gateway} included` } : {};
    return fault('whole-subnet-silent', both ? 'sure' : 'likely', [...life.evidence, ...controls.evidence], how);
  }
  return (
    bySight(operator) ?? { findings: [], clearedBy: [], summary: 'Cable and switch port can not be seen from here.' }
  );
}
