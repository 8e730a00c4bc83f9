import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { styleText } from 'node:util';
import { OFFICE_PORTS, type Office, startOffice } from '../demo/office.js';
import { TOUR, type TourStep } from '../demo/tour.js';
import { DEMO_SCHEMA, type DemoDocument } from '../model/demo.js';
import { EXIT, type ExitCode, ProgramProblem } from '../model/problem.js';
import { renderJson } from '../render/json.js';
import { wrap } from '../render/wrap.js';
import type { Io } from './io.js';

export interface DemoOptions {
  /** Keeps the office up for trying things by hand, until Ctrl-C. */
  readonly stay?: boolean;
  readonly color?: boolean;
  readonly json?: boolean;
}

/** The program itself: arguments in, exit code out. The demo runs the very commands that a person would. */
export type RunProgram = (argv: readonly string[], io: Io) => Promise<ExitCode>;

/**
 * Opens the made-up office, walks through it with the real commands, and tidies up. Exit code 0 when every step worked, also
 * when what it showed was a fault: that is what the office is for.
 */
export async function runDemo(options: DemoOptions, io: Io, program: RunProgram): Promise<ExitCode> {
  if (options.stay && options.json) {
    throw new ProgramProblem('demo-options', '--stay and --json do not go together: choose one of them.');
  }
  const office = await openOffice();
  const folder = await mkdtemp(join(tmpdir(), 'outfeed-demo-'));
  try {
    await writeFile(join(folder, 'outfeed.yaml'), office.configText);
    if (options.stay) return await stay(office, folder, io);
    const inside: Io = { ...io, cwd: folder, color: io.color && options.color !== false };
    return await (options.json ? tourAsJson(office, inside, program) : tourAsText(office, inside, program));
  } finally {
    await office.close();
    await rm(folder, { recursive: true, force: true });
  }
}

/** Where the office may stand when another demo already holds the first place. */
const PLACES = ['127.77.0', '127.77.1', '127.77.2', '127.77.3'];

async function openOffice(): Promise<Office> {
  let problem: unknown;
  for (const prefix of PLACES) {
    try {
      return await startOffice({ prefix });
    } catch (error) {
      if (!(error instanceof ProgramProblem) || error.code !== 'office-port-taken') throw error;
      problem = error;
    }
  }
  throw problem;
}

async function tourAsText(office: Office, io: Io, program: RunProgram): Promise<ExitCode> {
  const page = new Page(io);
  const printers = office.devices.filter(({ kind }) => kind === 'printer').length;
  page.heading('A made-up office');
  page.tell(
    `The annex of a harbour office: ${printers} printers, a print server and a file server, all invented, on loopback ` +
      `addresses of this machine (${office.range}). Nothing leaves this machine, nothing is printed. ` +
      'What follows are the real commands with their real answers.',
  );
  const failed: string[] = [];
  for (const [position, step] of TOUR.entries()) {
    if (io.signal?.aborted) break;
    page.heading(`${position + 1}/${TOUR.length}  ${step.title}`);
    page.tell(step.tells);
    quote(page, office, step);
    page.command(argvOf(step, office));
    const code = await program(argvOf(step, office), io);
    page.exit(code, step.argv);
    if (code === EXIT.usage || code === EXIT.failed) failed.push(step.argv[0] ?? '');
  }
  return io.signal?.aborted ? EXIT.nothingWrong : farewell(page, failed);
}

function quote(page: Page, office: Office, step: TourStep): void {
  const says = step.device === undefined ? undefined : office.device(step.device).says;
  if (says !== undefined) page.tell(`On the telephone: "${says}"`);
}

function farewell(page: Page, failed: readonly string[]): ExitCode {
  page.heading('That was the whole job');
  if (failed.length > 0) {
    page.tell(`This step did not work: ${[...new Set(failed)].join(', ')}. Its words are above.`);
    return EXIT.failed;
  }
  page.tell(
    'Find the printers, read them, say why one is silent, take it along. On your own subnet: "outfeed sweep" first, ' +
      'then "outfeed why" with an address it found. "outfeed demo --stay" keeps this office up to try things by hand. ' +
      'When pages come, but come out bad: "outfeed defect"; "outfeed testpage" makes a sheet to measure by, and sends it by the route you choose.',
  );
  return EXIT.nothingWrong;
}

async function tourAsJson(office: Office, io: Io, program: RunProgram): Promise<ExitCode> {
  const steps: DemoDocument['steps'][number][] = [];
  for (const step of TOUR) {
    if (io.signal?.aborted) break;
    const command = [...argvOf(step, office), '--json', '--quiet'];
    let text = '';
    const exitCode = await program(command, { ...io, stdout: (part) => (text += part) });
    steps.push({ command, exitCode, document: documentOf(text) });
  }
  const devices = office.devices.map(({ name, address, kind, expect }) => ({
    name,
    address,
    kind,
    expect: expect ? { layer: expect.layer, cause: expect.cause } : null,
  }));
  const document: DemoDocument = { schema: DEMO_SCHEMA, range: office.range, devices, steps };
  io.stdout(renderJson(document));
  const failed = steps.some(({ exitCode }) => exitCode === EXIT.usage || exitCode === EXIT.failed);
  return failed ? EXIT.failed : EXIT.nothingWrong;
}

/** The document a command printed; null when it printed none. */
function documentOf(text: string): unknown {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function argvOf(step: TourStep, office: Office): string[] {
  const own: Readonly<Record<string, string>> = { RANGE: office.range, SNMP_PORT: String(OFFICE_PORTS.snmp) };
  return step.argv.map((word) => own[word] ?? word);
}

async function stay(office: Office, folder: string, io: Io): Promise<ExitCode> {
  const page = new Page(io);
  const config = join(folder, 'outfeed.yaml');
  page.heading('The made-up office is up');
  page.tell(`It stands at ${office.range}. Its configuration, removed when the office closes:`);
  page.lines(`  ${config}`, '');
  page.tell('To try in another terminal:');
  const tries = [
    'sweep --snmp-port 16161',
    'show drawing-room',
    'why quay-office',
    'why front-desk --json',
    'snapshot --out annex',
  ];
  page.lines(...tries.map((words) => `  outfeed ${words} --config ${config}`), '');
  page.tell('Who calls, and what they say:');
  const callers = office.devices.flatMap(({ name, says }) =>
    says === undefined ? [] : [`  ${name.padEnd(18)}${says}`],
  );
  page.lines(...callers, '');
  page.tell('Ctrl-C closes the office.');
  await aborted(io.signal);
  return EXIT.nothingWrong;
}

/** Settles when the person presses Ctrl-C; never where there is no such signal, then the process is ended from outside. */
function aborted(signal: AbortSignal | undefined): Promise<void> {
  if (signal?.aborted) return Promise.resolve();
  return new Promise((resolve) => signal?.addEventListener('abort', () => resolve(), { once: true }));
}

/** The narrator's voice on the terminal: calm, wrapped, and told apart from what the commands print. */
class Page {
  readonly #io: Io;

  constructor(io: Io) {
    this.#io = io;
  }

  heading(text: string): void {
    this.lines('', this.#styled('bold', `== ${text} ==`), '');
  }

  tell(text: string): void {
    const columns = Math.min(this.#io.columns, 80);
    this.lines(...wrap(text, { columns, first: '', rest: '' }).map((line) => this.#styled('italic', line)), '');
  }

  command(argv: readonly string[]): void {
    this.lines(this.#styled('bold', `$ outfeed ${argv.join(' ')}`));
  }

  /** Commands that judge no printer say with 0 that they did their work, whatever was found. */
  exit(code: ExitCode, argv: readonly string[]): void {
    const judges = argv[0] === 'why' || argv[0] === 'show';
    const words = code === 0 && !judges ? 'done' : EXIT_WORDS[code];
    this.lines('', this.#styled('dim', `(exit code ${code}: ${words})`));
  }

  lines(...lines: readonly string[]): void {
    this.#io.stdout(`${lines.join('\n')}\n`);
  }

  #styled(style: 'bold' | 'italic' | 'dim', text: string): string {
    return this.#io.color ? styleText(style, text, { validateStream: false }) : text;
  }
}

const EXIT_WORDS: Readonly<Record<ExitCode, string>> = {
  0: 'nothing wrong found',
  1: 'a fault found',
  2: 'bad usage or configuration',
  3: 'not enough evidence to decide',
  4: 'the program itself failed',
};
