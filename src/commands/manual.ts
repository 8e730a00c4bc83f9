import type { Argument, Command, Option } from 'commander';
import { PACES } from '../config/config.js';
import { symptomWords } from '../defects/symptoms.js';
import { AUTH_PROTOCOLS, PRIV_PROTOCOLS } from '../model/snmp-security.js';
import { ROUTES } from '../model/testpage.js';
import type { ArgumentWords, CommandWords, OptionWords, ProgramWords, Takes } from '../render/manual/words.js';
import { PAGE_FORMATS } from '../testpage/formats.js';
import { SHEETS } from '../testpage/marks.js';

/** Words that an option takes where its reader, which forgives capitals and short forms, is the one to refuse others. */
export const VALUES: Readonly<Record<string, readonly string[]>> = {
  '--pace': PACES,
  '--snmp-version': ['1', '2c', '3'],
  '--auth-protocol': AUTH_PROTOCOLS,
  '--priv-protocol': PRIV_PROTOCOLS,
  '--via': ROUTES,
  '--came-out': ['yes', 'no'],
  '--media': Object.keys(SHEETS),
  '--format': PAGE_FORMATS,
  '--symptom': symptomWords().map(({ word }) => word),
  '--technology': ['laser', 'inkjet', 'thermal', 'impact'],
  '--grain': ['along', 'across'],
};

/** Reads the definitions of the commands as data. */
export function wordsOf(program: Command): ProgramWords {
  const help = program.createHelp();
  return {
    name: program.name(),
    version: program.version() ?? '',
    says: program.description(),
    options: help.visibleOptions(program).map(optionWords),
    commands: program.commands.map((command) => commandWords(command)),
  };
}

function commandWords(command: Command): CommandWords {
  return {
    name: command.name(),
    says: command.description(),
    arguments: command.registeredArguments.map(argumentWords),
    options: command.createHelp().visibleOptions(command).map(optionWords),
  };
}

function argumentWords(argument: Argument): ArgumentWords {
  const name = argument.name();
  return {
    name,
    says: argument.description,
    required: argument.required,
    repeats: argument.variadic,
    takes: argument.argChoices ?? (/^(FILE|OLD|NEW)$/.test(name) ? 'file' : 'text'),
  };
}

function optionWords(option: Option): OptionWords {
  const value = /[<[]([^\][<>]+)[\]>]/.exec(option.flags)?.[1] ?? null;
  return {
    short: option.short ?? null,
    long: option.long ?? option.flags,
    value,
    says: option.description,
    group: option.helpGroupHeading?.replace(/:$/, '') ?? null,
    takes: option.argChoices ?? VALUES[option.long ?? ''] ?? takesBy(value),
  };
}

function takesBy(value: string | null): Takes {
  if (value === 'file' || value === 'job') return 'file';
  return value === 'dir' ? 'folder' : 'text';
}
