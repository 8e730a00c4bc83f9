import { isAbsolute, join, resolve } from 'node:path';
import { loadConfig, readConfigText } from '../config/load.js';
import { modelFileSchema } from '../config/model-file.js';
import { parseStrict } from '../config/parse.js';
import { type DefectQuestion, explainDefect, undecided } from '../defects/defect.js';
import { type DeviceReading, readDevice } from '../defects/device-reading.js';
import { readGeometry } from '../defects/page-geometry.js';
import { type RotatingPart, rotatingPart } from '../defects/rotating-parts.js';
import { EXIT, type ExitCode, ProgramProblem } from '../model/problem.js';
import { READING_PROBES } from '../probes/probes.js';
import { CHECKS } from '../registry/trade.generated.js';
import { renderDefectPage } from '../render/defect-html.js';
import { renderDefect } from '../render/defect-text.js';
import { renderJson } from '../render/json.js';
import { readAnswerTo } from './answers.js';
import { collectFor } from './collected.js';
import { walkDefect } from './defect-ask.js';
import {
  readMarkList,
  readReadingError,
  readRuler,
  readScale,
  readSymptom,
  readTechnology,
  readTold,
} from './defect-options.js';
import { rememberedFaults } from './defect-past.js';
import type { Io } from './io.js';
import type { CommonOptions } from './options.js';
import { settingOf } from './target.js';
import { writeWhole } from './whole-file.js';

/** Texts of the options that only this command has, as they were typed. */
export interface DefectTexts {
  readonly symptom?: readonly string[];
  readonly technology?: string;
  readonly marks?: string;
  readonly readingError?: string;
  readonly scale?: string;
  readonly model?: string;
  readonly answer?: readonly string[];
  readonly paper?: string;
  readonly grain?: string;
  readonly humidity?: string;
  readonly page?: string;
  readonly memory?: string;
  readonly point?: readonly string[];
  readonly diagonals?: string;
  readonly line?: string;
}

export interface DefectArgs {
  /** Without one, what is told alone decides. */
  readonly target?: string;
  readonly given: DefectTexts;
  /** File that a page with drawings is written to. */
  readonly html?: string;
  /** Walk through symptoms and checks at the terminal. */
  readonly ask: boolean;
  readonly options: CommonOptions;
}

const READING_ERROR_MM = 0.5;
/** More turning parts than any printer has. */
const MOST_PARTS = 100;

/**
 * Says what makes pages come out bad. Exit 1: causes were found. 3: nothing in the tables speaks of it, or the marks
 * do not decide. 0: no symptom was given and the words for them were listed.
 */
export async function runDefect(args: DefectArgs, io: Io): Promise<ExitCode> {
  const told = await questionOf(args, io);
  const question = args.ask ? await walkDefect(told, io) : told;
  const document = explainDefect(question);
  const { json, color } = args.options;
  if (args.html !== undefined) await writeWhole(args.html, renderDefectPage(document), io.cwd);
  io.stdout(json ? renderJson(document) : renderDefect(document, { color: io.color && color, columns: io.columns }));
  if (document.symptoms.length === 0) return EXIT.nothingWrong;
  return undecided(document) ? EXIT.undecided : EXIT.fault;
}

/** Options are read before anything is asked of the network: a slip of the keys is told at once. */
async function questionOf({ target, given, options }: DefectArgs, io: Io): Promise<DefectQuestion> {
  const symptoms = (given.symptom ?? []).map(readSymptom);
  const answers = (given.answer ?? []).map((text) => readAnswerTo(CHECKS, text));
  const marks = marksOf(given);
  const technology = given.technology === undefined ? undefined : readTechnology(given.technology);
  const told = readTold(given);
  const ruler = readRuler(given);
  const geometry = readGeometry(ruler);
  const ruled = given.point !== undefined && geometry === null;
  const parts = await partsOf(target, given.model, options, io);
  const device = target === undefined ? undefined : await deviceOf(target, options, io);
  const past = target === undefined ? [] : await rememberedFaults(target, options, io);
  return {
    target: target ?? null,
    symptoms: symptoms.filter((symptom, at) => symptoms.indexOf(symptom) === at),
    answers,
    told,
    past,
    geometry,
    notes: [
      ...(target !== undefined && device === undefined
        ? [`${target} told nothing of itself: this rests on what you say alone.`]
        : []),
      ...(ruled ? ['Three points that do not lie on one line are needed to say how the print lies.'] : []),
    ],
    ...(marks === undefined ? {} : { marks }),
    ...(technology === undefined ? {} : { technology }),
    ...(parts === undefined ? {} : { parts }),
    ...(device === undefined ? {} : { device }),
  };
}

function marksOf(given: DefectTexts): DefectQuestion['marks'] {
  const error = given.readingError === undefined ? READING_ERROR_MM : readReadingError(given.readingError);
  const scale = given.scale === undefined ? 1 : readScale(given.scale);
  return given.marks === undefined ? undefined : { mm: readMarkList(given.marks), error, scale };
}

/** Parts of the model file that was given, else of the one that the configuration names for the printer. */
async function partsOf(
  target: string | undefined,
  given: string | undefined,
  options: CommonOptions,
  io: Io,
): Promise<readonly RotatingPart[] | undefined> {
  if (given !== undefined) return loadModel(resolve(io.cwd, given));
  if (target === undefined) return undefined;
  const config = await loadConfig(options.config, io);
  const model = settingOf(target.replace(/#\d+$/, ''), config)?.model;
  if (model === undefined) return undefined;
  return loadModel(isAbsolute(model) ? model : join(config.folder ?? io.cwd, model));
}

async function loadModel(file: string): Promise<readonly RotatingPart[] | undefined> {
  const reading = parseStrict(await readConfigText(file), modelFileSchema);
  if ('problems' in reading) {
    const [first] = reading.problems;
    throw new ProgramProblem('model-file', `${file}:${first?.line}:${first?.column}: ${first?.text}.`);
  }
  if (reading.value.parts.length > MOST_PARTS) {
    throw new ProgramProblem(
      'model-file',
      `${file} lists more than ${MOST_PARTS} parts; leave those that touch no paper out.`,
    );
  }
  const parts = reading.value.parts.map(rotatingPart);
  return parts.length === 0 ? undefined : parts;
}

async function deviceOf(target: string, options: CommonOptions, io: Io): Promise<DeviceReading | undefined> {
  return readDevice(await collectFor(target, options, io, READING_PROBES));
}
