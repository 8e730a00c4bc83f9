import { type AcceptsFact, readAccepts } from './accepts.js';
import { type ConditionFact, readCondition } from './condition/condition.js';
import { conditionByPjlAlone } from './condition/pjl-alone.js';
import { type ControlsFact, readControls } from './controls.js';
import { type ElsewhereFact, readElsewhere } from './elsewhere.js';
import { type ExpectedFact, readExpected } from './expected.js';
import type { Asked, PrinterFact } from './fact.js';
import { readHeard } from './heard.js';
import { type IppFact, readIpp } from './ipp.js';
import { type JobFileFact, readJobFile } from './job-file.js';
import { type LifeFact, readLife } from './life.js';
import { type LossFact, readLoss } from './loss.js';
import { type LpdFact, readLpd } from './lpd.js';
import { type NameFact, readName } from './name.js';
import { type OperatorFact, readOperator } from './operator.js';
import { type OwnJobsFact, readOwnJobs } from './own-jobs.js';
import { type PageNeedFact, readPageNeed } from './page-need.js';
import { type PageProof, readPageProofs } from './page-proof.js';
import { type PathFact, readPath } from './path.js';
import { type PjlFact, readPjl } from './pjl.js';
import { type PortsFact, readPorts } from './ports.js';
import { type PrintHostFact, readPrintHost } from './print-host/print-host.js';
import { readPrinter } from './printer/printer.js';
import { type ProxyFact, readProxy } from './proxy.js';
import { type QueueFact, readQueues } from './queues.js';
import { type RawChannelFact, readRawChannel } from './raw-channel.js';
import { type RestartsFact, readRestarts } from './restarts.js';
import { type RouteFact, readRoute } from './route.js';
import { readSnmp, type SnmpFact } from './snmp.js';
import { readSwitch, type SwitchFact } from './switch.js';

export type { PrinterFact } from './fact.js';

/** Everything that several layers need to know, each computed once from evidence. Undefined: no evidence. */
export interface Facts {
  /** How this machine reaches the target. */
  readonly route: RouteFact | undefined;
  /** Signs of life at the target's address. */
  readonly life: LifeFact | undefined;
  /** Who answers on the link for the target and for others as well. */
  readonly proxy: ProxyFact | undefined;
  /** Long packets get lost on the way, short ones don't. */
  readonly path: PathFact | undefined;
  /** Something gets lost on the way. */
  readonly loss: LossFact | undefined;
  /** Whether others on the way answer. */
  readonly controls: ControlsFact | undefined;
  readonly name: NameFact | undefined;
  readonly ports: PortsFact | undefined;
  readonly snmp: SnmpFact | undefined;
  readonly ipp: IppFact | undefined;
  readonly printer: PrinterFact | undefined;
  /** The same device at another address. */
  readonly elsewhere: readonly ElsewhereFact[] | undefined;
  /** Identity expected against identity read. */
  readonly expected: ExpectedFact | undefined;
  /** What the printer's own words come to: what stops it, what it warns of. */
  readonly condition: ConditionFact | undefined;
  readonly queues: readonly QueueFact[] | undefined;
  /** Jobs in the printer's own list. */
  readonly ownJobs: OwnJobsFact | undefined;
  /** What the managed switch says of the printer's port. */
  readonly switch: SwitchFact | undefined;
  /** What the printer said of its state over the raw port. */
  readonly pjl: PjlFact | undefined;
  /** The raw connection in the printer's own channel table. */
  readonly rawChannel: RawChannelFact | undefined;
  /** Queues of line printer daemons. */
  readonly lpd: readonly LpdFact[] | undefined;
  /** The job file that a person handed over. */
  readonly jobFile: JobFileFact | undefined;
  /** What the printer says it can read. */
  readonly accepts: AcceptsFact | undefined;
  /** Room that a page of the job takes, beside the printer's memory. */
  readonly pageNeed: PageNeedFact | undefined;
  /** Ids of all that was learned by asking the target's address. */
  readonly heard: ReadonlySet<string>;
  /** What a print host's report and exported events say of its print service. */
  readonly printHost: PrintHostFact | undefined;
  /** How often it came up, by the record of its up-times. */
  readonly restarts: RestartsFact | undefined;
  /** What a person answered. */
  readonly operator: OperatorFact | undefined;
  /** What pages show to work that were sent, or seen to come out. */
  readonly pages: readonly PageProof[];
}

/** Reads all facts out of a bundle of evidence. Pure: the same bundle gives the same facts. */
export function readFacts(asked: Asked): Facts {
  const { evidence } = asked;
  const printer = readPrinter(evidence, {
    address: asked.address ?? asked.target,
    readAt: asked.askedAt,
    ...(asked.deviceIndex === undefined ? {} : { deviceIndex: asked.deviceIndex }),
  });
  const queues = readQueues(asked);
  const pjl = readPjl(evidence);
  const jobFile = readJobFile(evidence);
  const operator = readOperator(asked);
  return {
    route: readRoute(evidence),
    life: readLife(evidence),
    proxy: readProxy(evidence),
    path: readPath(evidence),
    loss: readLoss(evidence),
    controls: readControls(evidence),
    name: readName(evidence),
    ports: readPorts(evidence),
    snmp: readSnmp(evidence),
    ipp: readIpp(evidence),
    printer,
    elsewhere: readElsewhere(evidence),
    expected: readExpected(evidence, printer),
    condition: printer ? readCondition(printer, pjl) : pjl && conditionByPjlAlone(pjl),
    queues,
    ownJobs: readOwnJobs(evidence),
    switch: readSwitch(evidence),
    pjl,
    rawChannel: readRawChannel(evidence),
    lpd: readLpd(evidence),
    jobFile,
    accepts: readAccepts(evidence, printer),
    pageNeed: readPageNeed(evidence, printer, jobFile),
    heard: readHeard(evidence),
    printHost: readPrintHost(asked),
    restarts: readRestarts(evidence, printer, asked.askedAt),
    operator,
    pages: readPageProofs(asked, operator),
  };
}
