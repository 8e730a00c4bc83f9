import { Argument, Command, CommanderError, Option } from 'commander';
import { EXIT, type ExitCode, ProgramProblem } from '../model/problem.js';
import { forTerminal } from '../render/escape.js';
import type { DefectArgs } from './defect.js';
import type { Io } from './io.js';
import {
  addCommonOptions,
  type CommonOptions,
  commonOptions,
  type OptionGroup,
  refuseAlone,
  refuseBeside,
  repeated,
  whole,
} from './options.js';
import type { QueueArgs } from './queue.js';
import { ACTIONS, type Action } from './queue-actions.js';
import type { QueueFiles } from './queue-files.js';
import { SHELLS, type Shell } from './shells.js';
import { asOfTime, share, suppliesArgs } from './supplies-options.js';
import { cameOutNamed, formatNamed, routeNamed, sheetNamed, testPageArgs } from './testpage-options.js';
import { programVersion } from './version.js';
import type { WhyArgs } from './why.js';

/**
 * Runs the program once: arguments (without the interpreter and the script) in, exit code out. Everything that goes wrong becomes one
 * sentence on stderr here; nothing is thrown.
 */
export async function run(argv: readonly string[], io: Io): Promise<ExitCode> {
  let code: ExitCode = EXIT.nothingWrong;
  try {
    const finish: Finish = (given) => {
      code = given;
    };
    const program = buildProgram(io, finish, argv[0]);
    await program.parseAsync(argv, { from: 'user' });
    return code;
  } catch (error) {
    return explain(
      error,
      io,
      argv.some((word) => word === '--verbose' || word === '-v'),
    );
  }
}

/** One sentence for whatever ended the program, and its exit code. */
export function explain(error: unknown, io: Pick<Io, 'stderr'>, verbose: boolean): ExitCode {
  if (error instanceof CommanderError) return explainUsage(error, io);
  if (error instanceof ProgramProblem) {
    io.stderr(`outfeed: ${forTerminal(error.message, 2000)}\n`);
    return error.exitCode;
  }
  const message = error instanceof Error ? error.message : String(error);
  io.stderr(`outfeed failed: ${forTerminal(message, 500)}; please report this, with what --verbose adds.\n`);
  if (verbose && error instanceof Error && error.stack !== undefined) {
    for (const line of error.stack.split('\n').slice(1)) io.stderr(`  ${forTerminal(line.trim())}\n`);
  }
  return EXIT.failed;
}

function explainUsage(error: CommanderError, io: Pick<Io, 'stderr'>): ExitCode {
  if (error.exitCode === 0) return EXIT.nothingWrong;
  if (error.code === 'commander.help') return EXIT.usage;
  const sentence = error.message
    .replace(/^error: /, '')
    .split('\n')
    .map((line) => line.trim())
    .join(' ')
    .replaceAll(/\. ([A-Z])/g, (_, letter: string) => `: ${letter.toLowerCase()}`)
    .replace(/\.$/, '')
    .replace(
      /^command-argument value '(.*)' is invalid for argument '(\w+)': allowed choices are /s,
      '$2 can not be "$1": it takes ',
    );
  io.stderr(`outfeed: ${forTerminal(sentence)}; "outfeed --help" lists what there is.\n`);
  return EXIT.usage;
}

type Finish = (code: ExitCode) => void;

/**
 * The commands with their options and words: all of them, or the one of that name, where no other is wanted. `finish` is told the exit
 * code of the one that ran.
 */
export function buildProgram(io: Io, finish: Finish, only?: string): Command {
  const program = new Command('outfeed')
    .description('Finds the network printers of a site, reads them, and says layer by layer why one gives no output.')
    .version(programVersion(), '-V, --version', 'print the version')
    .helpOption('-h, --help', 'print this help')
    .helpCommand('help [command]', 'print the help of a command')
    .addHelpText('after', EXIT_CODES)
    .showSuggestionAfterError(true)
    .exitOverride()
    .configureOutput({
      writeOut: io.stdout,
      writeErr: (text) => {
        if (!text.startsWith('error:')) io.stderr(text);
      },
      getOutHelpWidth: () => io.columns,
      getErrHelpWidth: () => io.columns,
      getOutHasColors: () => io.color,
      getErrHasColors: () => false,
    });
  const named = only !== undefined && Object.hasOwn(COMMANDS, only) ? COMMANDS[only] : undefined;
  for (const define of named === undefined ? Object.values(COMMANDS) : [named]) define(program, io, finish);
  return program;
}

const EXIT_CODES = `
Exit codes: 0 nothing wrong found, 1 a fault found, 2 bad usage or configuration,
3 not enough evidence to decide, 4 the program itself failed.

TARGET is a name from the configuration, an IP address, a host name, or a URI
(ipp://…, ipps://…, socket://…, lpd://…); TARGET#2 is the second printer behind one address.`;

/** Everything that asks a printer takes these. */
const ASKING: readonly OptionGroup[] = ['output', 'snmp', 'printer', 'pace'];

type Define = (program: Command, io: Io, finish: Finish) => void;

/** The commands, in the order of the help. Each is loaded when it is called: help starts without any of them. */
const COMMANDS: Readonly<Record<string, Define>> = {
  sweep: (program, io, finish) => {
    command(program, 'sweep', 'find the printers in ranges of addresses and by DNS-SD', [...ASKING, 'sweep'])
      .argument('[RANGE...]', 'as 192.0.2.0/24 (default: the configured ranges, else the subnets of this machine)')
      .option('--since <file>', 'an earlier "sweep --json": tell what is new, gone, moved or changed since then')
      .action(async (ranges: readonly string[], given: Given) => {
        const { runSweep } = await import('./sweep.js');
        const since = typeof given.since === 'string' ? { since: given.since } : {};
        finish(await runSweep({ ranges, ...since, options: optionsOf(given) }, io));
      });
  },
  show: (program, io, finish) => {
    command(program, 'show', 'tell everything that one printer says of itself', ASKING)
      .argument('<TARGET>', 'the printer')
      .option('--identify', 'then ask the printer to blink or beep, so that it can be told from its neighbours')
      .option('--record <file>', 'keep what it answered as a made-up device, names and addresses replaced')
      .action(async (target: string, given: Given) => {
        const { runShow } = await import('./show.js');
        const record = typeof given.record === 'string' ? { record: given.record } : {};
        finish(await runShow({ target, options: optionsOf(given), identify: given.identify === true, ...record }, io));
      });
  },
  why: (program, io, finish) => {
    command(program, 'why', 'say why a printer gives no output, and what to do next', [...ASKING, 'job'])
      .argument('[TARGET]', 'the printer (not with --from)')
      .option('--save <file>', 'keep the evidence')
      .option('--from <file>', 'judge evidence that was kept, without touching the network')
      .option('--answer <check=outcome>', 'what somebody saw at the printer, may repeat', repeated)
      .option('--ask', 'ask at the terminal what only a person can see')
      .option('--queue-report <file>', 'what config/print-host-report.ps1 wrote on a Windows print host')
      .option('--events <file>', 'events of such a host, exported as XML')
      .action(async (target: string | undefined, given: Given) => {
        const { runWhy } = await import('./why.js');
        finish(await runWhy(whyArgs(target, given), io));
      });
  },
  queue: (program, io, finish) => {
    command(program, 'queue', 'show the print queues and jobs on the way to a printer, and what blocks them', ASKING)
      .argument('[TARGET|URI...]', 'printers or queues (default: the configured, listed and announced ones)')
      .option('--queue-report <file>', 'what config/print-host-report.ps1 wrote on a Windows print host')
      .option('--events <file>', 'events of such a host, exported as XML')
      .option('--spooler <uri>', 'spooler whose queues are listed, or none (or OUTFEED_SPOOLER; default: this machine)')
      .addOption(new Option('--apply <action>', 'set one job aside, after asking for its number').choices(ACTIONS))
      .option('--job <n>', 'the job to set aside (default: the one that is suspected)', whole('--job', 1, 999_999_999))
      .option('--yes <n>', 'number of that job, in place of the question', whole('--yes', 1, 999_999_999))
      .action(async (targets: readonly string[], given: Given) => {
        const { runQueue } = await import('./queue.js');
        finish(await runQueue(queueArgs(targets, given), io));
      });
  },
  supplies: (program, io, finish) => {
    command(program, 'supplies', 'say what runs out when, and what to order', [...ASKING, 'sweep'])
      .argument('[TARGET...]', 'the printers (default: all of the history, else the configured ones)')
      .option('--history <file>', 'the past as CSV: at,printer,supply,level,capacity,unit,pages')
      .option('--as-of <time>', 'the moment that is asked about (default: the last reading of the history)', asOfTime)
      .option('--interval <p>', 'probability that a truth lies within the interval (default: 0.9)', share('--interval'))
      .option('--lead-days <n>', 'days from ordering to delivery (default: 7)', whole('--lead-days', 0, 365))
      .option('--risk <p>', 'accepted probability of running out before delivery (default: 0.05)', share('--risk'))
      .option('--csv <file>', 'write forecasts and orders to a CSV file as well')
      .action(async (targets: readonly string[], given: Given) => {
        const { runSupplies } = await import('./supplies.js');
        finish(await runSupplies({ ...suppliesArgs(given), targets, options: optionsOf(given) }, io));
      });
  },
  defect: (program, io, finish) => {
    command(program, 'defect', 'say what makes pages come out bad, and which part leaves a repeating mark', ASKING)
      .argument('[TARGET]', 'the printer, to take its own levels, lives and alerts into account')
      .option('--symptom <word>', 'what is wrong with the pages, may repeat (without: lists the words)', repeated)
      .option('--technology <kind>', 'laser (and LED), inkjet, thermal or impact (default: what the printer says)')
      .option('--marks <mm,mm,...>', 'where marks lie along the feed, in millimetres')
      .option('--reading-error <mm>', 'standard deviation of one reading (default: 0.5)')
      .option('--scale <measured/printed>', 'the marks were read off a printed ruler: its measured over its printed mm')
      .option('--model <file>', 'turning parts of the model (default: the model file in the configuration)')
      .option('--answer <check=outcome>', 'what a check showed, may repeat', repeated)
      .option('--paper <weight>', 'paper that is loaded, as "80 g/m2" or "20 lb bond"')
      .option('--grain <way>', 'grain of the paper: along or across the feed')
      .option('--humidity <percent>', 'relative humidity of the room')
      .option('--page <spec>', 'what is printed, for its room in memory: SIZE,DPI,PLANES,BITS, as in a4,600,4,1')
      .option('--memory <size>', 'memory of the printer, as in 64 MB (default: as the printer says)')
      .option('--point <x,y=x,y>', 'where a printed mark should lie and where it is, in mm, may repeat', repeated)
      .option('--diagonals <a,b,w,h>', 'both diagonals of a printed rectangle, and its width and height, in mm')
      .option('--line <left,right,length>', 'a line across: its distance from the edge at both ends, and its length')
      .option('--html <file>', 'write a page with drawings as well')
      .option('--ask', 'be asked for symptoms and checks at the terminal')
      .action(async (target: string | undefined, given: Given) => {
        const { runDefect } = await import('./defect.js');
        finish(await runDefect(defectArgs(target, given), io));
      });
  },
  testpage: (program, io, finish) => {
    command(program, 'testpage', 'make a test page, and send it by one route when --print says so', ASKING)
      .argument('<TARGET>', 'the printer')
      .requiredOption('--via <route>', 'ipp, raw, lpd, or queue (with --queue URI)', routeNamed)
      .option('--print', 'send it: uses one sheet')
      .option('--out <file>', 'write the page to a file')
      .option('--media <size>', 'a4 or letter (default: what lies in the printer)', sheetNamed)
      .option(
        '--format <type>',
        'pdf, postscript, pwg-raster, pcl5 or text (default: the first of these that the printer says it takes)',
        formatNamed,
      )
      .option('--save <file>', 'keep the evidence with what became of the page, for "why --from"')
      .option('--came-out <word>', 'yes or no: what was seen of the page (default: asked at a terminal)', cameOutNamed)
      .action(async (target: string, given: Given) => {
        const { runTestPage } = await import('./testpage.js');
        finish(await runTestPage(testPageArgs(target, given, optionsOf(given)), io));
      });
  },
  snapshot: (program, io, finish) => {
    command(program, 'snapshot', 'write the state of a site to files to take along', [...ASKING, 'sweep'])
      .argument('[TARGET...]', 'the printers (default: the configured ones, else what a sweep finds)')
      .option('--out <dir>', 'folder to write (default: a new one, named after the site and the time)')
      .option('--zip', 'write one archive instead of a folder')
      .option('--last-visit <when>', 'a date, or the snapshot made for it (default: the newest earlier one beside)')
      .option('--next-visit <date>', 'until when supplies have to last (default: 30 days from now)')
      .option('--redact', 'hide names, places, addresses and numbers, for sending it to others')
      .action(async (targets: readonly string[], given: Given) => {
        const { runSnapshot } = await import('./snapshot.js');
        const out = typeof given.out === 'string' ? { out: given.out } : {};
        const how = {
          zip: given.zip === true,
          redact: given.redact === true,
          ...(typeof given.lastVisit === 'string' ? { lastVisit: given.lastVisit } : {}),
          ...(typeof given.nextVisit === 'string' ? { nextVisit: given.nextVisit } : {}),
        };
        finish(await runSnapshot({ targets, ...out, ...how, options: optionsOf(given) }, io));
      });
  },
  compare: (program, io, finish) => {
    command(program, 'compare', 'tell what changed between two snapshots', ['output'])
      .argument('<OLD>', 'folder or archive that "outfeed snapshot" wrote')
      .argument('<NEW>', 'a later one of the same site')
      .option('--html <file>', 'write a page to open and print as well')
      .action(async (old: string, now: string, given: Given) => {
        const { runCompare } = await import('./compare.js');
        const html = typeof given.html === 'string' ? { html: given.html } : {};
        finish(await runCompare({ old, now, ...html, options: optionsOf(given) }, io));
      });
  },
  agent: (program, io, finish) => {
    command(program, 'agent', 'read all printers on a schedule, remember, tell people', ['output', 'snmp', 'pace'])
      .option('--once', 'read everything once, tell, and end: for cron and task schedulers')
      .option('--acknowledge <id>', 'note that somebody has seen this incident')
      .option('--note <text>', 'what helped, kept with the incident (with --acknowledge)')
      .option('--plan <span>', 'work is planned, as 2026-02-01T18:00/2026-02-01T20:00: nothing is told meanwhile')
      .option('--printer <name>', 'the printer that is worked on (with --plan; default: the whole site)')
      .option('--install-help', 'print how to make it a service of this machine')
      .option(
        '--new-token <file>',
        'make a token for the page, show it once, and keep in this file what it is checked by',
      )
      .action(async (given: Given) => {
        const { runAgentCommand } = await import('./agent-command.js');
        finish(await runAgentCommand(given, optionsOf(given), io));
      });
  },
  demo: (program, io, finish) => {
    command(program, 'demo', 'show the whole job against a made-up office on loopback', ['output'])
      .option('--stay', 'keep the office up for trying things by hand, until Ctrl-C')
      .action(async (given: Given) => {
        const { runDemo } = await import('./demo.js');
        const { json, color } = optionsOf(given);
        finish(await runDemo({ stay: given.stay === true, json, color }, io, run));
      });
  },
  completion: (program, io, finish) => {
    program
      .command('completion')
      .description('print what makes a shell complete the words of this program')
      .addArgument(new Argument('<SHELL>', 'the shell').choices(SHELLS))
      .action(async (shell: Shell) => {
        const { runCompletion } = await import('./completion.js');
        finish(await runCompletion(shell, io));
      });
  },
  'check-config': (program, io, finish) => {
    command(program, 'check-config', 'say what is wrong in a configuration, line and column', ['output'])
      .argument('[FILE]', 'the configuration file (default: the one that would be used)')
      .action(async (file: string | undefined, given: Given) => {
        const { runCheckConfig } = await import('./check-config.js');
        const options = optionsOf(given);
        finish(await runCheckConfig({ ...(file === undefined ? {} : { file }), options }, io));
      });
  },
};

type Given = Readonly<Record<string, unknown>>;

function command(program: Command, name: string, says: string, groups: readonly OptionGroup[]): Command {
  return addCommonOptions(program.command(name).description(says), groups);
}

function queueArgs(targets: readonly string[], given: Given): QueueArgs {
  refuseAlone(given, ['job', 'yes'], 'apply');
  const { apply, job, yes, spooler } = given;
  const number = (name: 'job' | 'yes', value: unknown) => (typeof value === 'number' ? { [name]: value } : {});
  return {
    targets,
    options: optionsOf(given),
    files: filesOf(given),
    ...(typeof spooler === 'string' ? { spooler } : {}),
    ...(apply === undefined
      ? {}
      : { apply: { action: apply as Action, ...number('job', job), ...number('yes', yes) } }),
  };
}

function filesOf({ queueReport, events }: Given): QueueFiles {
  return {
    ...(typeof queueReport === 'string' ? { report: queueReport } : {}),
    ...(typeof events === 'string' ? { events } : {}),
  };
}

function whyArgs(target: string | undefined, given: Given): WhyArgs {
  refuseBeside(given, ['user', 'queue', 'ippUri', 'community', 'snmpUser'], 'from');
  return {
    ...(target === undefined ? {} : { target }),
    ...(typeof given.save === 'string' ? { save: given.save } : {}),
    ...(typeof given.from === 'string' ? { from: given.from } : {}),
    answers: (given.answer as readonly string[] | undefined) ?? [],
    ask: given.ask === true,
    files: filesOf(given),
    options: optionsOf(given),
  };
}

function defectArgs(target: string | undefined, given: Given): DefectArgs {
  refuseAlone(given, ['scale', 'readingError'], 'marks');
  return {
    ...(target === undefined ? {} : { target }),
    ...(typeof given.html === 'string' ? { html: given.html } : {}),
    given: given as DefectArgs['given'],
    ask: given.ask === true,
    options: optionsOf(given),
  };
}

function optionsOf(given: Given): CommonOptions {
  return commonOptions(given);
}
