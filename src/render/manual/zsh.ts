import { type ArgumentWords, inShort, type OptionWords, type ProgramWords, type Takes } from './words.js';

/** Completion for zsh: a file `_outfeed` in a folder of `fpath`. */
export function zshCompletion(program: ProgramWords): string {
  return `#compdef ${program.name}
# zsh completion of ${program.name}. Made from the definitions of the commands.
_${program.name}() {
  local context state line
  local -a commands
  commands=(
${program.commands.map(({ name, says }) => `    ${quoted(`${name}:${inShort(says)}`)}`).join('\n')}
    'help:print the help of a command'
  )
  _arguments -C ${program.options.flatMap(optionSpecs).join(' ')} '1:command:->command' '*::argument:->arguments'
  case $state in
    command) _describe command commands ;;
    arguments)
      case $words[1] in
${program.commands
  .map(
    (command) => `        ${command.name})
          _arguments -s \\
${[...command.options.flatMap(optionSpecs), ...command.arguments.map(argumentSpec)]
  .map((spec) => `            ${spec}`)
  .join(' \\\n')}
          ;;`,
  )
  .join('\n')}
        help) _describe command commands ;;
      esac
      ;;
  esac
}
if [ "$funcstack[1]" = "_${program.name}" ]; then
  _${program.name} "$@"
else
  compdef _${program.name} ${program.name}
fi
`;
}

function optionSpecs(option: OptionWords): string[] {
  const repeats = option.says.includes('may repeat');
  const value = option.value === null ? '' : `:${spec(option.value)}:${action(option.takes)}`;
  const says = `[${spec(inShort(option.says))}]${value}`;
  if (option.short === null) return [quoted(`${repeats ? '*' : ''}${option.long}${says}`)];
  // Two words for one thing: whichever was given, neither is offered again.
  const either = `(${option.short} ${option.long})`;
  return [option.short, option.long].map((flag) => quoted(`${either}${flag}${says}`));
}

function argumentSpec({ name, required, repeats, takes }: ArgumentWords): string {
  return quoted(`${repeats ? '*' : required ? '' : ':'}:${spec(name)}:${action(takes)}`);
}

function action(takes: Takes): string {
  if (takes === 'file') return '_files';
  if (takes === 'folder') return '_files -/';
  return takes === 'text' ? ' ' : `(${takes.join(' ')})`;
}

/** A colon or a bracket would end a part of the description. */
function spec(text: string): string {
  return text.replaceAll(/[\\:[\]]/g, '\\$&');
}

function quoted(text: string): string {
  return `'${text.replaceAll("'", "'\\''")}'`;
}
