// What to build from what lies at hand.

import type { Context } from './context';
import type { Built, Search } from './data';
import { html, type Child } from './dom';
import { quantity_of_field } from './plots/columns';
import { parts, search_plot, swaps } from './plots/search';
import { plot_view } from './plots/view';
import { told_table } from './tables';
import { with_unit } from './units';

interface Row {
  name: string;
  of: Built;
}

function table(context: Context, title: string, names: string, rows: Row[], swapped: boolean): HTMLElement {
  const { page, units } = context;
  const { error_steps, changed_shims, swapped_parts } = page.fields.search_answer;
  const head = (text: string, kind: string | null = null): Child => html('th', { scope: 'col', class: kind }, text);
  return told_table(
    title,
    [
      head(names),
      head('built of'),
      head(error_steps.heading, 'figure'),
      head(changed_shims.heading, 'figure'),
      ...(swapped ? [head(swapped_parts.heading, 'figure')] : []),
    ],
    rows.map(({ name, of }) => ({
      name,
      cells: [
        html('td', {}, of.words),
        html('td', { class: 'figure' }, with_unit(of.error_steps, quantity_of_field(error_steps), units)),
        html('td', { class: 'figure' }, with_unit(of.changed_shims, quantity_of_field(changed_shims), units)),
        ...(swapped
          ? [html('td', { class: 'figure' }, with_unit(of.swapped_parts, quantity_of_field(swapped_parts), units))]
          : []),
      ],
    })),
  );
}

export function search_view(context: Context, search: Search): HTMLElement {
  const [verdict, ...rest] = search.sentences;
  const host = html('div');
  const best = [{ name: 'as it is', of: search.today }, ...search.stacks.map((of, i) => ({ name: String(i + 1), of }))];
  const by_changed = search.by_changed.map((of) => ({ name: `up to ${parts(of)}`, of }));
  const swapped = swaps(search);
  context.part(() =>
    host.replaceChildren(
      table(context, 'The best stacks, each another way to build than those before it', 'no.', best, swapped),
      table(context, 'The nearest with so many shims changed or fewer', swapped ? 'parts' : 'shims', by_changed, swapped),
    ),
  );
  return html(
    'div',
    {},
    html('p', {}, html('b', {}, search.drawer_title), ` (${search.drawer}), and the shims of the stacks that may change.`),
    html('p', { class: 'answer lead' }, verdict),
    html('h3', {}, 'Ways to build'),
    host,
    html('div', { class: 'plots' }, plot_view(search_plot(context.page, search), context)),
    ...rest.map((sentence) => html('p', { class: 'about' }, sentence)),
  );
}
