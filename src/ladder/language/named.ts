/** Languages in words, for the sentences of this layer. */
import type { AcceptsFact } from '../../facts/accepts.js';
import { type JobLanguage, LANGUAGES, languageOfWord, namesOf } from '../../wire/job/languages.js';

const MOST_NAMED = 4;
const IDS = Object.keys(LANGUAGES) as JobLanguage[];
/** Text stands under the labels of languages that take it, so it names none of them. */
const SPEAKING = IDS.filter((id) => namesOf(id).kind !== 'text');

function wordsOfLabel(label: string): string {
  const id = SPEAKING.find((language) => namesOf(language).labels.includes(label));
  return id === undefined ? label.replace(/^lang/, '') : namesOf(id).words;
}

function wordsOfFormat(format: string): string {
  const id = SPEAKING.find((language) => namesOf(language).formats.some((known) => known.toLowerCase() === format));
  return id === undefined ? format : namesOf(id).words;
}

function wordsOfCommand(command: string): string {
  const id = languageOfWord(command);
  return id === undefined ? command : namesOf(id).words;
}

/** What the printer reads, by the first of its lists that is not empty: "PostScript, PCL 5 and 2 more". */
export function acceptedWords({ labels, formats, commands }: AcceptsFact): string {
  const all =
    labels.length > 0
      ? labels.map(wordsOfLabel)
      : formats.length > 0
        ? formats.map(wordsOfFormat)
        : commands.map(wordsOfCommand);
  const words = [...new Set(all)];
  if (words.length <= 1) return words.join('');
  if (words.length > MOST_NAMED)
    return `${words.slice(0, MOST_NAMED).join(', ')} and ${words.length - MOST_NAMED} more`;
  return `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

/** Octets for a sentence, in decimal units: "139 MB". */
export function sizeWords(octets: number): string {
  if (octets < 1e6) return `${Math.max(1, Math.round(octets / 1e3))} kB`;
  return octets < 1e9 ? `${Math.round(octets / 1e6)} MB` : `${(octets / 1e9).toFixed(1)} GB`;
}
