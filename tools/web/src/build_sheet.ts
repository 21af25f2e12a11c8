// What to take to the bench: each stack in the order it goes on, and a box for what was measured.

import type { Context } from './context';
import type { BuildFigure, BuildLine, BuildValve, ChangedKey, Setup } from './data';
import { html } from './dom';
import { wide } from './tables';
import { figure, file_value, setting, shim_size, size_unit, thickness, unit_of, with_unit, type Choice } from './units';
import { prefix } from './words';

function changed_mark(changed: boolean): HTMLElement | null {
  return changed ? html('strong', { class: 'changed' }, '◆ changed') : null;
}

// The valve in words, its key beside it in small.
function heading(valve: BuildValve): HTMLElement {
  return html('h4', {}, `${valve.words} `, html('small', {}, `(${valve.valve}) `), changed_mark(valve.changed));
}

// "60 → 0.8 N/mm" as the program tells it, in the units chosen.
function step(change: ChangedKey, units: Choice): string {
  if (change.key.endsWith('.shims') && size_unit(units) !== '')
    return (
      change.step.replace(/(\d+(?:\.\d+)?) x (\d+(?:\.\d+)?)/g, (_, outer: string, thick: string) =>
        shim_size(Number(outer) / 1e3, Number(thick) / 1e3, units),
      ) + size_unit(units)
    );
  const [from, to] = [change.from, change.to].map((value) => (value === null ? 'none' : file_value(value, units)));
  if (from === (change.from ?? 'none') && to === (change.to ?? 'none')) return change.step;
  const unit = /\u00a0\S+$/.exec(from)?.[0];
  return `${unit && to.endsWith(unit) ? from.slice(0, -unit.length) : from} → ${to}`;
}

function as_found(valve: BuildValve, units: Choice): HTMLElement | null {
  if (!valve.as_found) return null;
  const sizes = valve.as_found_lines.map(
    ({ count, outer_diameter_m, thickness_m }: BuildLine) =>
      (count > 1 ? `${count} * ` : '') + shim_size(outer_diameter_m, thickness_m, units),
  );
  return html('p', { class: 'was' }, `As found: ${sizes.length > 0 ? sizes.join(', ') + size_unit(units) : valve.as_found}`);
}

function note(each: BuildFigure, units: Choice): string {
  if (each.sleeve_m === null || each.shims_on_sleeve_m === null) return each.note;
  const size = (value: number) => `${thickness(value, units)}\u00a0${unit_of('length', units).name}`;
  return `a sleeve of ${size(each.sleeve_m)} under the stop gives it, with ${size(each.shims_on_sleeve_m)} of shims on it`;
}

// What of a valve differs beside its shims.
function others(valve: BuildValve, units: Choice): HTMLElement | null {
  if (valve.is_new) return html('p', { class: 'was' }, 'Not in the unit as found.');
  if (valve.other_changes.length === 0) return null;
  return html(
    'p',
    { class: 'was' },
    `${valve.other_changes.map((change) => `${change.words}: ${step(change, units)}`).join('; ')}.`,
  );
}

// A rigid disc in the place of shims; its size is with the half-section.
function disc(valve: BuildValve, setup: Setup, units: Choice): HTMLElement {
  const radius = setup.sections.find((section) => section.valve === valve.valve)?.disc?.radius_m ?? null;
  return html(
    'section',
    { class: valve.changed ? 'stack is-changed' : 'stack' },
    heading(valve),
    as_found(valve, units),
    others(valve, units),
    html(
      'p',
      {},
      radius === null ? 'No shims.' : `No shims: a rigid disc, Ø ${with_unit(2 * radius, 'length', units)}.`,
    ),
  );
}

// What holds a stack from behind: its clamp, or the stop and the coil of a floated one.
function held(valve: BuildValve, units: Choice): string {
  const rings: [string, number | null][] = [
    ['clamp', valve.clamp_diameter_m],
    ['stop', valve.stop_diameter_m],
    ['coil at', valve.spring_diameter_m],
  ];
  return rings
    .map(([what, diameter]) => (diameter === null ? '' : `, ${what} Ø ${with_unit(diameter, 'length', units)}`))
    .join('');
}

function stack(valve: BuildValve, units: Choice): HTMLElement {
  const unit = unit_of('length', units).name;
  const size = (value: number) => figure(value, 'length', units);
  const box = () => html('td', { class: 'box' }, html('span', { class: 'unseen' }, 'to fill in'));
  return html(
    'section',
    { class: valve.changed ? 'stack is-changed' : 'stack' },
    heading(valve),
    as_found(valve, units),
    others(valve, units),
    html(
      'table',
      {},
      html('caption', { class: 'unseen' }, `${valve.words}: shims in the order they go on, from the piston face`),
      html(
        'thead',
        {},
        html(
          'tr',
          {},
          ...['no.', 'count', `Ø ${unit}`, `thick ${unit}`, 'part'].map((title, i) =>
            html('th', { scope: 'col', class: i < 4 ? 'figure' : null }, title),
          ),
          html('th', { scope: 'col' }, 'fitted'),
        ),
      ),
      html(
        'tbody',
        {},
        ...valve.lines.map((line) =>
          html(
            'tr',
            {},
            html(
              'td',
              { class: 'figure' },
              line.first === line.last ? `${line.first}` : `${line.first}–${line.last}`,
            ),
            html('td', { class: 'figure' }, `${line.count}`),
            html('td', { class: 'figure' }, size(line.outer_diameter_m)),
            html('td', { class: 'figure' }, thickness(line.thickness_m, units)),
            html('td', { class: 'part' }, line.part),
            box(),
          ),
        ),
      ),
    ),
    html(
      'p',
      { class: 'sum' },
      `${valve.shim_count} ${valve.shim_count === 1 ? 'shim' : 'shims'}, stack ${with_unit(valve.stack_height_m, 'length', units)} high` +
        held(valve, units),
    ),
  );
}

function amount(of: Pick<BuildFigure, 'quantity'>, value: number | null, units: Choice): string {
  // Pressures to set are gauge already, so they convert as differences do.
  const text = setting(value, of.quantity, units);
  return of.quantity === 'pressure' && value !== null ? `${text} gauge` : text;
}

function figure_table(part: BuildFigure[], caption: string, units: Choice): HTMLElement {
  return html(
    'table',
    { class: 'to-measure' },
    html('caption', {}, caption),
    html(
      'thead',
      {},
      html(
        'tr',
        {},
        html('th', { scope: 'col' }, 'what'),
        html('th', { scope: 'col', class: 'figure' }, 'wanted'),
        html('th', { scope: 'col' }, 'measured'),
      ),
    ),
    html(
      'tbody',
      {},
      ...part.map((each) =>
        html(
          'tr',
          { class: each.changed ? 'is-changed' : null },
          html('th', { scope: 'row' }, each.what, each.note ? html('span', { class: 'note' }, note(each, units)) : null),
          html(
            'td',
            { class: 'figure' },
            amount(each, each.value, units),
            each.changed
              ? html(
                  'span',
                  { class: 'note' },
                  changed_mark(true),
                  html('br'),
                  each.is_new ? 'new' : `was ${amount(each, each.as_found, units)}`,
                )
              : null,
          ),
          html('td', { class: 'box' }, html('span', { class: 'unseen' }, 'to fill in')),
        ),
      ),
    ),
  );
}

// Where the second of two tables beside each other begins, so that both are about as high.
function middle(all: BuildFigure[]): number {
  const heights = all.map(
    (each) => 1 + (each.note ? 1 : 0) + (each.changed ? 1.5 : 0) + (each.what.length > 30 ? 1 : 0),
  );
  const half = heights.reduce((sum, height) => sum + height, 0) / 2;
  let sum = 0;
  return (
    heights.findIndex((height) => {
      sum += height;
      return sum >= half;
    }) + 1
  );
}

// Two tables beside each other, so that a sheet keeps to one page.
function figures(setup: Setup, units: Choice): HTMLElement | null {
  const { figures: all } = setup.build;
  if (all.length === 0) return null;
  const half = all.length > 6 ? middle(all) : all.length;
  const parts = [all.slice(0, half), all.slice(half)].filter((part) => part.length > 0);
  return html(
    'div',
    { class: 'stacks' },
    ...parts.map((part, i) => {
      const caption = i > 0 ? 'To set and to measure, continued' : 'To set and to measure';
      return wide(`${setup.name}: ${caption}`, figure_table(part, caption, units));
    }),
  );
}

// Parts of the unit as found that are not in this one.
function comes_out(setup: Setup, units: Choice): HTMLElement | null {
  const { reservoir, comes_out: figures, valves_out } = setup.build;
  const parts = [
    ...(reservoir?.comes_out ? [`the reservoir's ${reservoir.comes_out}`] : []),
    ...valves_out.map((valve) => `the ${valve}`),
    ...figures.map((each) => `${each.what} ${amount(each, each.value, units)}`),
  ];
  return parts.length === 0 ? null : html('p', { class: 'was' }, `Comes out: ${parts.join('; ')}.`);
}

function changes(setup: Setup, units: Choice): HTMLElement | null {
  if (setup.build.changes.length === 0) return null;
  return html(
    'div',
    { class: 'changes' },
    html('h4', {}, 'Against as-found'),
    html(
      'ul',
      {},
      ...setup.build.changes.map((change) =>
        html('li', {}, `${change.words}: ${step(change, units)} `, html('small', {}, `(${change.key})`)),
      ),
    ),
    comes_out(setup, units),
  );
}

function sheet(setup: Setup, several: boolean, units: Choice): HTMLElement {
  const field = (what: string) => html('span', { class: 'field' }, what);
  return html(
    'article',
    { class: 'sheet' },
    html('h3', {}, `${prefix(setup.name, several)}${setup.inspect.title}`),
    html('p', { class: 'fields' }, field('Unit no.'), field('Date'), field('Built by')),
    html(
      'p',
      { class: 'about' },
      'Shims in the order they go on, from the piston face. ◆ marks what differs from as-found.',
    ),
    changes(setup, units),
    html(
      'div',
      { class: 'stacks' },
      ...setup.build.valves.map((valve) =>
        valve.lines.length > 0 ? stack(valve, units) : disc(valve, setup, units),
      ),
    ),
    figures(setup, units),
  );
}

export function build_sheets(context: Context): HTMLElement {
  const host = html('div');
  const several = context.page.setups.length > 1;
  context.part(() =>
    host.replaceChildren(...context.page.setups.map((setup) => sheet(setup, several, context.units))),
  );
  return host;
}
