// What to change for the goal: the answer, why the first change, all of them, and what they cost.

import type { Context } from './context';
import type { Advice, Field, Suggestion, Told } from './data';
import { html, list, type Child } from './dom';
import { beside, candidate_plot } from './plots/advice';
import { quantity_of_field } from './plots/columns';
import { plot_view } from './plots/view';
import { told_table } from './tables';
import { with_unit } from './units';

type Key = keyof Suggestion & string;

// The fields of the program's table, under its headings.
function table(context: Context, title: string, names: string, keys: Key[], rows: { name: string; of: Suggestion }[]): HTMLElement {
  const { page, units } = context;
  const fields = keys.map((key): [Key, Field] => [key, page.fields.suggestion[key]]);
  const head = (field: Field) => html('th', { scope: 'col', class: field.measure === 'words' ? null : 'figure' }, field.heading);
  const cell = (of: Suggestion, key: Key, field: Field) => {
    const value = of[key];
    return typeof value === 'number'
      ? html('td', { class: 'figure' }, with_unit(value, quantity_of_field(field), units))
      : html('td', {}, String(value));
  };
  return told_table(
    title,
    [html('th', { scope: 'col' }, names), ...fields.map(([, field]) => head(field))],
    rows.map(({ name, of }) => ({ name, cells: fields.map(([key, field]) => cell(of, key, field)) })),
  );
}

const told_keys: Key[] = ['words', 'reached', 'side_effect', 'effort'];

function numbered(told: Told[], first: number): { name: string; of: Suggestion }[] {
  return told.map((of, i) => ({ name: String(first + i), of }));
}

function why(number: number, told: Told): Child[] {
  return [
    html('h3', {}, `Why ${number}: ${told.words}`),
    html('p', {}, `It gives: ${told.gives}.`),
    html('p', {}, told.also),
  ];
}

function others(context: Context, advice: Advice): Child[] {
  const all = beside(context.page, advice);
  const solved = all.flatMap(({ name, told }) => (told ? [{ name, of: told }] : []));
  const missing = all.filter(({ told }) => !told);
  return [
    solved.length > 0
      ? table(context, `Against the same goal; below 0: further from it than ${context.page.setups[0].name}`, 'set-up', ['reached', 'side_effect'], solved)
      : null,
    ...solved.map(({ name, of }) => html('p', {}, `${name} gives: ${of.gives}. ${of.also}`)),
    ...missing.map(({ name }) => html('p', {}, `${name} could not be solved at the goal's figures.`)),
  ];
}

export function advice_view(context: Context, advice: Advice): HTMLElement {
  const { page } = context;
  const [verdict, ...rest] = advice.sentences;
  const first_pair = advice.changes.length + 1;
  const tables = html('div');
  context.part(() =>
    tables.replaceChildren(
      ...[
        advice.changes.length > 0
          ? table(context, 'Single changes, the best first', 'no.', told_keys, numbered(advice.changes, 1))
          : null,
        advice.pairs.length > 0
          ? table(
              context,
              'Pairs that reach further, or disturb less for what they reach',
              'no.',
              told_keys,
              numbered(advice.pairs, first_pair),
            )
          : null,
        ...others(context, advice),
      ].filter((child) => child !== null),
    ),
  );
  const plot = candidate_plot(page, advice);
  return html(
    'div',
    {},
    html('p', {}, html('b', {}, advice.goal_title), ` (${advice.goal})`, page.setups.length > 1 ? `, asked of ${page.setups[0].name}` : '', '.'),
    list(
      advice.lines.map(({ words }) => words),
      'ol',
    ),
    html('p', { class: 'answer lead' }, verdict),
    ...rest.map((sentence) => html('p', {}, sentence)),
    ...(advice.changes.length > 0 ? why(1, advice.changes[0]) : []),
    ...(advice.pairs.length > 0 ? why(first_pair, advice.pairs[0]) : []),
    advice.changes.length + advice.pairs.length + advice.beside.length > 0 ? html('h3', {}, 'All that is told') : null,
    tables,
    plot ? html('div', { class: 'plots' }, plot_view(plot, context)) : null,
    html('details', {}, html('summary', {}, 'How changes are sized and ranked'), html('p', { class: 'about' }, advice.rule)),
  );
}
