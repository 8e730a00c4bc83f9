import {
  type ArgumentWords,
  type CommandWords,
  inShort,
  type OptionWords,
  type ProgramWords,
  type Takes,
} from './words.js';

/** Completion for fish 3 and later. */
export function fishCompletion(program: ProgramWords): string {
  const first = `complete -c ${program.name} -n __fish_use_subcommand`;
  return `${[
    `# fish completion of ${program.name}. Made from the definitions of the commands.`,
    `complete -c ${program.name} -f`,
    ...program.options.map((option) => `${first}${optionWords(option)}`),
    ...program.commands.map(({ name, says }) => `${first} -a ${name} -d ${quoted(inShort(says))}`),
    `${first} -a help -d 'print the help of a command'`,
    ...program.commands.flatMap((command) => commandLines(program.name, command)),
  ].join('\n')}\n`;
}

function commandLines(name: string, command: CommandWords): string[] {
  const here = `complete -c ${name} -n '__fish_seen_subcommand_from ${command.name}'`;
  return [
    ...command.options.map((option) => `${here}${optionWords(option)}`),
    ...command.arguments.flatMap((argument) => argumentLine(here, argument)),
  ];
}

function argumentLine(here: string, { takes }: ArgumentWords): string[] {
  if (takes === 'text') return [];
  return [`${here}${takes === 'file' || takes === 'folder' ? ' -F' : ` -a ${quoted(takes.join(' '))}`}`];
}

function optionWords({ short, long, value, says, takes }: OptionWords): string {
  const flags = `${short === null ? '' : ` -s ${short.slice(1)}`} -l ${long.slice(2)}`;
  return `${flags}${value === null ? '' : valueWords(takes)} -d ${quoted(inShort(says))}`;
}

/** `-r`: a value must follow; `-F`: files; `-x`: this value and nothing else. */
function valueWords(takes: Takes): string {
  if (takes === 'file') return ' -r -F';
  if (takes === 'folder') return " -x -a '(__fish_complete_directories)'";
  return takes === 'text' ? ' -x' : ` -x -a ${quoted(takes.join(' '))}`;
}

function quoted(text: string): string {
  return `'${text.replaceAll('\\', '\\\\').replaceAll("'", "\\'")}'`;
}
