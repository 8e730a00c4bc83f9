import { type DefectQuestion, explainDefect } from '../defects/defect.js';
import { symptomOf, symptomWords } from '../defects/symptoms.js';
import type { SymptomWord } from '../model/defect.js';
import { ProgramProblem } from '../model/problem.js';
import type { TradeSymptom } from '../registry/trade.js';
import { askCheck } from './ask.js';
import type { Io } from './io.js';

/** After this many questions a person has better things to do. */
const MOST_QUESTIONS = 10;
/** Nothing more is asked once one cause has this much of the belief. */
const SURE = 0.9;

/** Walks a person through the symptoms, then through the best checks, until one cause stands out or they have had enough. */
export async function walkDefect(told: DefectQuestion, io: Io): Promise<DefectQuestion> {
  if (io.ask === undefined) {
    throw new ProgramProblem('ask', '--ask needs a terminal to ask at; give --symptom and --answer instead.');
  }
  const seen = told.symptoms.length > 0 || told.marks !== undefined ? told.symptoms : await askSymptoms(told, io);
  let current: DefectQuestion = { ...told, symptoms: seen };
  const skipped = new Set<string>();
  for (let asked = 0; asked < MOST_QUESTIONS; asked++) {
    const { ranked, checks } = explainDefect(current);
    const check = checks.find(({ id }) => !skipped.has(id));
    if (check === undefined || (ranked[0]?.probability ?? 0) >= SURE) break;
    for (const caution of check.cautions) io.stderr(`  Care: ${caution}\n`);
    const answer = await askCheck(check, io);
    if (answer === 'enough') break;
    if (answer === 'skip') skipped.add(check.id);
    else current = { ...current, answers: [...current.answers, answer] };
  }
  return current;
}

async function askSymptoms(told: DefectQuestion, io: Io): Promise<readonly TradeSymptom[]> {
  const technology = told.technology ?? told.device?.technology;
  const words = symptomWords(technology);
  const list = words.map(({ word, says }, at) => `  ${String(at + 1).padStart(2)} ${word}: ${says}`).join('\n');
  for (let tries = 0; tries < 3; tries++) {
    const line = await io.ask?.(`What is wrong with the pages?\n${list}\nNumbers or words, with commas; q to stop: `);
    if (line === undefined || /^q(uit)?$/i.test(line.trim())) return [];
    const found = line.split(/[,;]/).map((part) => chosen(part.trim(), words));
    const symptoms = found.filter((symptom) => symptom !== undefined);
    if (symptoms.length > 0 && symptoms.length === found.length) return [...new Set(symptoms)];
    io.stderr('  That is none of them.\n');
  }
  return [];
}

function chosen(text: string, words: readonly SymptomWord[]): TradeSymptom | undefined {
  const word = /^\d+$/.test(text) ? words[Number(text) - 1]?.word : text;
  return word === undefined || word === '' ? undefined : symptomOf(word);
}
