import type { Facts } from '../../facts/facts.js';
import type { IppStep } from '../../facts/ipp.js';
import type { Finding, LayerJudgement } from '../../model/layers.js';
import { findingsOf } from '../signals.js';
import { compareJob } from './compare.js';
import { driverMismatch } from './driver.js';
import { pageRoom } from './page-room.js';
import { LANGUAGE_REASONS } from './reasons.js';

type Needs = Pick<Facts, 'condition' | 'ipp' | 'queues' | 'jobFile' | 'accepts' | 'pageNeed'>;

/** What the job in hand is in, refused by the printer although it lists it. */
function refusedJob({ ipp, jobFile }: Needs): IppStep | undefined {
  const own = jobFile?.sniffed.formats.map((format) => format.toLowerCase()) ?? [];
  return ipp?.refusedFormats.find(({ format }) => own.includes(format))?.step;
}

function refusedFormat(facts: Needs): Finding[] {
  const { ipp, queues } = facts;
  const steps = [ipp?.validate, ...(queues ?? []).map((q) => q.validate)];
  const refused = steps.find((step) => step?.result === 'format-refused') ?? refusedJob(facts);
  if (!refused) return [];
  const detail = { uri: refused.uri, code: refused.code };
  return [{ cause: 'format-unsupported', severity: 'fault', certainty: 'sure', detail, evidence: refused.evidence }];
}

/** One finding for a cause: the first, which has the best witness. */
function once(findings: readonly Finding[]): Finding[] {
  return findings.filter((f, i) => findings.findIndex((other) => other.cause === f.cause) === i);
}

/** Language: can the printer read what is sent? Without a job in hand nothing clears it. */
export function judge(facts: Needs): LayerJudgement {
  const { condition, jobFile, accepts, queues, pageNeed } = facts;
  const spoken = condition ? findingsOf(condition.signals, LANGUAGE_REASONS) : [];
  const compared = jobFile && compareJob(jobFile, accepts, queues);
  const room = pageNeed ? pageRoom(pageNeed) : [];
  return {
    findings: once([
      ...refusedFormat(facts),
      ...(compared?.findings ?? []),
      ...driverMismatch(queues, accepts),
      ...spoken,
      ...room,
    ]),
    clearedBy: compared?.clearedBy ?? [],
    summary: compared?.summary ?? 'No job was at hand to compare with what the printer reads.',
  };
}
