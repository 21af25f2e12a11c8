// The page from its data.

import { advice_view } from './advice_view';
import { build_sheets } from './build_sheet';
import { Context } from './context';
import { print_choice, units_bar, units_note } from './controls';
import type { Page } from './data';
import { html, list, type Child } from './dom';
import { oil_path } from './oil_path_view';
import { unpacked } from './packed';
import { full_title, merged, merged_plots, type Plot } from './plots/model';
import { first_group, registry } from './plots/registry';
import { plot_view } from './plots/view';
import { rides } from './ride_view';
import { search_view } from './search_view';
import { valve_sections } from './section_view';
import { defaults, key_figures, warnings, warnings_of } from './tables';
import { joined, prefix } from './words';

interface Part {
  id: string;
  title: string;
  class?: string;
  content: Child[];
}

// A part that fails leaves word of it, not an empty page.
function guarded(what: string, make: () => HTMLElement | null): HTMLElement | null {
  try {
    return make();
  } catch (error) {
    console.error(what, error);
    return html(
      'p',
      { class: 'failed', role: 'alert' },
      `${what} could not be drawn: ${error instanceof Error ? error.message : String(error)}`,
    );
  }
}

// The same in every set-up, so that it tells nothing of the change.
function is_alike(plot: Plot, page: Page): boolean {
  const count = page.setups.length;
  return count > 1 && (plot.of?.length === count || plot.lines.every((line) => line.of?.length === count));
}

// The plots that answer first stand open; all others, and what is alike, are a click away.
function plots(context: Context): Child[] {
  const { page } = context;
  const alike = `Alike in ${joined(page.setups.map((setup) => setup.name))}`;
  const groups = new Map<string, { titles: string[]; views: HTMLElement[] }>([
    [first_group, { titles: [], views: [] }],
  ]);
  for (const { group: usual, make } of registry) {
    const made = make(page).map((plot) => ({ ...plot, lines: merged(plot.lines) }));
    for (const plot of merged_plots(made)) {
      const view = plot.lines.length > 0 ? guarded(plot.title, () => plot_view(plot, context)) : null;
      if (!view) continue;
      const group = is_alike(plot, page) ? alike : usual;
      const found = groups.get(group) ?? { titles: [], views: [] };
      found.views.push(view);
      found.titles.push(full_title(plot));
      groups.set(group, found);
    }
  }
  const last = groups.get(alike);
  if (last) {
    groups.delete(alike);
    groups.set(alike, last);
  }
  return [...groups].flatMap(([group, { titles, views }]): Child[] => {
    if (views.length === 0) return [];
    const all = html('div', { class: 'plots' }, ...views);
    if (group === first_group) return [html('h3', {}, group), all];
    const summary = html('summary', {}, html('h3', {}, group), ` ${titles.join('; ')}`);
    return [html('details', { class: 'fold' }, summary, all)];
  });
}

// A sentence that ends with a colon heads those after it; the first of those is the answer in short.
function answer(sentences: string[]): Child[] {
  const heads = (i: number) => sentences[i].endsWith(':');
  return sentences.map((sentence, i) =>
    html('p', { class: heads(i) ? 'answer of' : i === 0 || heads(i - 1) ? 'answer lead' : 'answer' }, sentence),
  );
}

function method(page: Page): Child[] {
  const several = page.setups.length > 1;
  const left_out = page.setups.flatMap((setup) =>
    setup.left_out.map((text) => `${prefix(setup.name, several)}${text}`),
  );
  return [
    list(page.method),
    html('p', {}, `${page.program}; theory: ${page.theory}.`),
    html(
      'ul',
      {},
      ...page.setups.map((setup) => html('li', {}, `${prefix(setup.name, several)}${setup.inspect.file}`)),
    ),
    defaults(page),
    ...(left_out.length > 0 ? [html('h3', {}, 'Left out'), list(left_out)] : []),
    html(
      'p',
      { class: 'about' },
      'Colours of series: Okabe & Ito, Color universal design (2008). Colours of pressure: cividis, ' +
        'Nuñez, Anderton & Renslow, PLOS ONE 13(7) (2018). Dashes and symbols say the same without colour.',
    ),
  ];
}

function parts(context: Context): Part[] {
  const { page } = context;
  const several = page.setups.length > 1;
  const { advice, search } = page;
  const built = search ? guarded('What to build', () => search_view(context, search)) : null;
  const change = advice ? guarded('What to change', () => advice_view(context, advice)) : null;
  const path = guarded('The way of the oil', () => oil_path(context));
  const ridden = guarded('The rides', () => rides(context));
  const sections = guarded('The sections', () => valve_sections(context));
  const drawn = plots(context);
  const noted = warnings_of(page);
  const all: (Part | null)[] = [
    { id: 'answer', title: 'The answer', content: answer(page.answer) },
    {
      id: 'check',
      title: 'Check before riding',
      class: 'care',
      content: [...(noted.length > 0 ? [warnings(page), html('h3', {}, 'Of any damper')] : []), list(page.cautions)],
    },
    change ? { id: 'change', title: 'What to change', content: [change] } : null,
    built ? { id: 'drawer', title: 'From the drawer', content: [built] } : null,
    path ? { id: 'oil-path', title: 'The way of the oil', content: [path] } : null,
    ridden ? { id: 'ground', title: 'Over the ground', content: [ridden] } : null,
    drawn.length > 0 ? { id: 'plots', title: 'Plots', content: drawn } : null,
    sections ? { id: 'sections', title: 'Valves in section', content: [sections] } : null,
    { id: 'figures', title: 'Figures', content: [guarded('The figures', () => key_figures(context))] },
    {
      id: 'build',
      title: 'Build sheet',
      class: 'own-page',
      content: [guarded('The build sheet', () => build_sheets(context))],
    },
    {
      id: 'rider',
      title: 'For the rider',
      class: 'rider',
      content: page.setups
        .filter((setup) => setup.rider.length > 0)
        .flatMap((setup) => [
          several ? html('h3', {}, `${setup.name}: ${setup.inspect.title}`) : null,
          ...setup.rider.map((sentence) => html('p', {}, sentence)),
        ]),
    },
    { id: 'method', title: 'How the numbers were made', content: method(page) },
  ];
  return all.filter((part): part is Part => part !== null && part.content.length > 0);
}

function head(page: Page): HTMLElement {
  const several = page.setups.length > 1;
  return html(
    'header',
    {},
    html('h1', {}, page.setups.map((setup) => setup.inspect.title).join(' against ')),
    ...page.setups.map((setup) =>
      html(
        'p',
        { class: 'file' },
        several ? html('b', { class: 'letter' }, setup.name) : null,
        ` ${setup.inspect.file}`,
        setup.inspect.layout ? `, ${setup.inspect.layout}` : '',
        setup.inspect.note ? `. ${setup.inspect.note}` : '',
      ),
    ),
  );
}

function show(page: Page): void {
  const context = new Context(page);
  const made = parts(context);
  const contents = html(
    'nav',
    { 'aria-label': 'Contents' },
    html('ul', {}, ...made.map(({ id, title }) => html('li', {}, html('a', { href: `#${id}` }, title)))),
  );
  const sections = made.map((part) =>
    html(
      'section',
      { id: part.id, class: part.class ?? null, 'aria-labelledby': `${part.id}-title` },
      html('h2', { id: `${part.id}-title` }, part.title),
      ...part.content,
    ),
  );
  const main = html('main', { id: 'main' }, head(page), units_note(context), ...sections);
  document
    .getElementById('page')
    ?.replaceChildren(
      html('div', { class: 'bar', role: 'region', 'aria-label': 'Contents and units' }, contents, html('div', { class: 'choices' }, units_bar(context), print_choice(made.map(({ title }, i) => ({ title, section: sections[i] }))))),
      main,
    );
}

show(unpacked(JSON.parse(document.getElementById('data')?.textContent ?? '')) as Page);
