import type { CommandWords, OptionWords, ProgramWords, Takes } from './words.js';

/** Completion for bash 4 and later, without the package bash-completion. */
export function bashCompletion(program: ProgramWords): string {
  const names = program.commands.map(({ name }) => name);
  return `# bash completion of ${program.name}. Made from the definitions of the commands.
_${program.name}() {
  local current=\${COMP_WORDS[COMP_CWORD]} before=\${COMP_WORDS[COMP_CWORD-1]} command= word options= words=
  for word in "\${COMP_WORDS[@]:1:COMP_CWORD-1}"; do
    case $word in
      ${names.join('|')}) command=$word; break ;;
    esac
  done
  COMPREPLY=()
  case "$command $before" in
${valueBranches(program)}
  esac
  case $command in
${program.commands.map(commandBranch).join('\n')}
    *) options='${program.options.flatMap(flags).join(' ')}'; words='${[...names, 'help'].join(' ')}' ;;
  esac
  case $current in
    -*) COMPREPLY=($(compgen -W "$options" -- "$current")) ;;
    *) COMPREPLY=($(compgen -W "$words" -- "$current")) ;;
  esac
  if [[ $words == @file ]]; then COMPREPLY=($(compgen -f -- "$current")); fi
}
complete -o filenames -F _${program.name} ${program.name}
`;
}

/** One branch for each option and what it takes. An option that takes different things in different commands gets one for each. */
function valueBranches(program: ProgramWords): string {
  const meanings = new Map<string, { option: OptionWords; commands: string[] }>();
  for (const command of program.commands) {
    for (const option of command.options.filter(({ value }) => value !== null)) {
      const key = JSON.stringify([option.long, option.takes]);
      const known = meanings.get(key) ?? { option, commands: [] };
      meanings.set(key, { option, commands: [...known.commands, command.name] });
    }
  }
  const all = [...meanings.values()];
  return all
    .map(({ option, commands }) => {
      const alone = all.filter((other) => other.option.long === option.long).length === 1;
      const patterns = (alone ? ['*'] : commands).flatMap((command) =>
        flags(option).map((flag) => `${command}\\ ${flag}`),
      );
      return `    ${patterns.join('|')}) ${fill(option.takes)}return ;;`;
    })
    .join('\n');
}

function fill(takes: Takes): string {
  if (takes === 'text') return '';
  const what = takes === 'file' ? '-f' : takes === 'folder' ? '-d' : `-W '${takes.join(' ')}'`;
  return `COMPREPLY=($(compgen ${what} -- "$current")); `;
}

function commandBranch(command: CommandWords): string {
  const words = command.arguments.flatMap(({ takes }) =>
    takes === 'file' ? ['@file'] : takes === 'text' || takes === 'folder' ? [] : takes,
  );
  return `    ${command.name}) options='${command.options.flatMap(flags).join(' ')}'; words='${[...new Set(words)].join(' ')}' ;;`;
}

function flags({ short, long }: OptionWords): string[] {
  return short === null ? [long] : [short, long];
}
