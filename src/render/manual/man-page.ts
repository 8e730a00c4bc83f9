import type { ArgumentWords, CommandWords, OptionWords, ProgramWords } from './words.js';

/**
 * The man page, in the `man` macros that groff(7) and mandoc read. Options that several commands share stand once, by
 * group; each command names its groups.
 */
export function manPage(program: ProgramWords): string {
  const shared = sharedOptions(program);
  return `${[
    `.\\" Made from the definitions of the commands.`,
    `.TH ${program.name.toUpperCase()} 1 "" "${program.name} ${program.version}" "User commands"`,
    '.SH NAME',
    `${program.name} \\- ${roff(NAME_LINE)}`,
    '.SH SYNOPSIS',
    `.B ${program.name}`,
    '.I command',
    '[\\fIoption\\fR ...] [\\fIargument\\fR ...]',
    '.SH DESCRIPTION',
    roff(program.says),
    '.PP',
    roff(TARGET),
    '.SH COMMANDS',
    ...program.commands.flatMap((command) => commandSection(program, command)),
    '.SH OPTIONS OF SEVERAL COMMANDS',
    ...[...shared].flatMap(([group, options]) => [`.SS ${roff(group)}`, ...options.flatMap(tagged)]),
    '.SH OPTIONS WITHOUT A COMMAND',
    ...program.options.flatMap(tagged),
    ...closing(),
  ].join('\n')}\n`;
}

const NAME_LINE = "find a site's network printers and say why one gives no output";
const TARGET =
  'TARGET is a name from the configuration, an IP address, a host name, or a URI (ipp, ipps, socket, lpd); ' +
  'TARGET#2 is the second printer behind one address.';

function commandSection(program: ProgramWords, command: CommandWords): string[] {
  // Every command has --help; saying so once, under the options without a command, is enough.
  const own = command.options.filter((option) => option.group === null && option.long !== '--help');
  const groups = [...new Set(command.options.flatMap(({ group }) => group ?? []))];
  return [
    `.SS ${roff(`${program.name} ${synopsis(command)}`)}`,
    `${roff(capital(command.says))}.`,
    ...command.arguments.flatMap((argument) => row(argumentForm(argument), argument.says)),
    ...own.flatMap(tagged),
    ...(groups.length === 0 ? [] : ['.PP', `Also takes the options of the groups ${roff(listed(groups))}.`]),
  ];
}

function sharedOptions(program: ProgramWords): Map<string, OptionWords[]> {
  const groups = new Map<string, OptionWords[]>();
  for (const option of program.commands.flatMap((command) => command.options)) {
    if (option.group === null) continue;
    const known = groups.get(option.group) ?? [];
    if (!known.some((one) => one.long === option.long)) known.push(option);
    groups.set(option.group, known);
  }
  return groups;
}

/** `why [TARGET] [option ...]` */
export function synopsis(command: CommandWords): string {
  return [command.name, ...command.arguments.map(argumentForm)].join(' ');
}

function argumentForm({ name, required, repeats }: ArgumentWords): string {
  const inner = repeats ? `${name} ...` : name;
  return required ? inner : `[${inner}]`;
}

function tagged(option: OptionWords): string[] {
  const flags = [option.short, option.long].filter((flag) => flag !== null).map((flag) => `\\fB${roff(flag)}\\fR`);
  const value = option.value === null ? '' : ` \\fI${roff(option.value)}\\fR`;
  const words =
    typeof option.takes === 'string' || option.says.includes(option.takes[1] ?? '') ? '' : `: ${listed(option.takes)}`;
  return ['.TP', `${flags.join(', ')}${value}`, roff(`${option.says}${words}`)];
}

function row(term: string, says: string): string[] {
  return ['.TP', `\\fB${roff(term)}\\fR`, roff(says)];
}

function listed(words: readonly string[]): string {
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`;
}

function capital(text: string): string {
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}`;
}

const closing = (): string[] => [
  '.SH EXIT STATUS',
  ...row('0', 'nothing wrong found'),
  ...row('1', 'a fault found'),
  ...row('2', 'bad usage or configuration'),
  ...row('3', 'not enough evidence to decide'),
  ...row('4', 'the program itself failed'),
  '.SH ENVIRONMENT',
  ...row('OUTFEED_COMMUNITY', 'an SNMP community, where none should stand in the list of processes'),
  ...row('OUTFEED_AUTH_KEY', 'the SNMP v3 authentication key'),
  ...row('OUTFEED_PRIV_KEY', 'the SNMP v3 privacy key'),
  ...row('OUTFEED_SPOOLER', 'the spooler whose queues are listed, or none'),
  ...row('NO_COLOR', 'no colours, whatever it holds'),
  '.SH FILES',
  ...row(
    'outfeed.yaml',
    'the configuration: in the working folder, else in $XDG_CONFIG_HOME/outfeed or ~/.config/outfeed',
  ),
  ...row('outfeed.db', 'what the agent remembers, beside the configuration unless that says otherwise'),
  '.SH CAUTIONS',
  roff(
    "Steps that are proposed are for a person at the printer. They do not replace the maker's service manual, local " +
      'rules or a qualified person. Fusers stay hot, rollers start by themselves, and whatever needs a tool is not for users.',
  ),
];

/** Longer lines of input are frowned at; where they break means nothing. */
const WIDTH = 78;

/** Text that the typesetter takes as it stands: no escape, no hyphen where a minus is meant, no request at a line's start. */
export function roff(text: string): string {
  const plain = text.replaceAll('\\', '\\e').replaceAll('-', '\\-').replaceAll('…', '...');
  const lines: string[] = [];
  for (const word of plain.split(/\s+/)) {
    const last = lines.at(-1);
    if (last !== undefined && last.length + word.length < WIDTH) lines[lines.length - 1] = `${last} ${word}`;
    else lines.push(word.replace(/^([.'])/, '\\&$1'));
  }
  return lines.join('\n');
}
