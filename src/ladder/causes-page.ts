import type { NextStep } from '../model/layers.js';
import { LADDER } from './ladder.js';
import type { Cause } from './layer.js';

/** The page of all causes, layer by layer, as Markdown: what each means, what shows it, what rules it out, what to do. */
export function causesPage(): string {
  return [
    '# What each verdict means, and what to do',
    '',
    'Made from the knowledge itself by `npm run generate`. The verdict is the first layer at fault; a cause marked *warning* stops nothing.',
    'The words "how common" are shares among printers said to be silent: common practice, no published source.',
    'Wherever a step touches the inside of a printer, the maker’s service manual, local rules and qualified people come first.',
    ...LADDER.flatMap(({ id, causes }) => ['', `## ${id}`, '', ...table(causes), ...details(causes)]),
    '',
  ].join('\n');
}

function table(causes: Readonly<Record<string, Cause>>): readonly string[] {
  const rows = Object.entries(causes).map(([id, { confirms, rulesOut, looksAlike, prior, severity }]) =>
    row([
      `\`${id}\`${severity === 'warning' ? ' *warning*' : ''}`,
      confirms ?? '',
      rulesOut ?? '',
      (looksAlike ?? []).map((other) => `\`${other}\``).join(', '),
      prior === 0 ? '' : `${(prior * 100).toFixed(1)} %`,
    ]),
  );
  return [
    row(['cause', 'what confirms it', 'what rules it out', 'looks alike', 'how common']),
    '|---|---|---|---|---:|',
    ...rows,
  ];
}

function row(cells: readonly string[]): string {
  return `| ${cells.map((cell) => cell.replaceAll('|', '\\|')).join(' | ')} |`;
}

function details(causes: Readonly<Record<string, Cause>>): readonly string[] {
  return Object.entries(causes).flatMap(([id, { summary, technical, next }]) => [
    '',
    `### ${id}`,
    '',
    withoutPlaceholders(summary),
    '',
    `For the technician: ${technical}`,
    '',
    ...next.map(numbered),
  ]);
}

/** `{component|a paper tray}` reads as "a paper tray" where nothing is known of a case. */
function withoutPlaceholders(summary: string): string {
  return summary.replace(/\{[^|{}]*\|([^{}]*)\}/g, '$1');
}

function numbered({ step, minutes, cautions }: NextStep, at: number): string {
  const care = cautions.map((caution) => `\n   - **Caution:** ${caution}`).join('');
  return `${at + 1}. ${step} (${minutes} min)${care}`;
}
