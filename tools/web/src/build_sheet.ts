// What to take to the bench: each stack in the order it goes on, and a box for what was measured.

import type { Context } from './context';
import type { BuildFigure, BuildValve, Setup } from './data';
import { html } from './dom';
import { wide } from './tables';
import { figure, thickness, unit_of, with_unit, type Choice } from './units';
import { prefix } from './words';

function changed_mark(changed: boolean): HTMLElement | null {
  return changed ? html('strong', { class: 'changed' }, '◆ changed') : null;
}

function stack(valve: BuildValve, units: Choice): HTMLElement {
  const unit = unit_of('length', units).name;
  const size = (value: number) => figure(value, 'length', units);
  const box = () => html('td', { class: 'box' }, html('span', { class: 'unseen' }, 'to fill in'));
  return html('section', { class: valve.changed ? 'stack is-changed' : 'stack' },
    html('h4', {}, valve.valve, ' ', changed_mark(valve.changed)),
    valve.as_found ? html('p', { class: 'was' }, `As found: ${valve.as_found}`) : null,
    html('table', {}, html('caption', { class: 'unseen' }, `${valve.valve}: shims in the order they go on, from the piston face`),
      html('thead', {}, html('tr', {}, ...['no.', 'count', `Ø [${unit}]`, `thick [${unit}]`, 'part'].map((title, i) =>
        html('th', { scope: 'col', class: i < 4 ? 'figure' : null }, title)), html('th', { scope: 'col' }, 'fitted'))),
      html('tbody', {}, ...valve.lines.map((line) => html('tr', {},
        html('td', { class: 'figure' }, line.first === line.last ? `${line.first}` : `${line.first}–${line.last}`),
        html('td', { class: 'figure' }, `${line.count}`), html('td', { class: 'figure' }, size(line.outer_diameter_m)),
        html('td', { class: 'figure' }, thickness(line.thickness_m, units)), html('td', {}, line.part), box())))),
    html('p', { class: 'sum' }, `${valve.shim_count} ${valve.shim_count === 1 ? 'shim' : 'shims'}, stack ${with_unit(valve.stack_height_m, 'length', units)} high`
      + (valve.clamp_diameter_m === null ? '' : `, clamp Ø ${with_unit(valve.clamp_diameter_m, 'length', units)}`)));
}

function amount(of: BuildFigure, value: number | null, units: Choice): string {
  // Pressures to set are gauge already, so they convert as differences do.
  const text = with_unit(value, of.quantity, units);
  return of.quantity === 'pressure' && value !== null ? `${text} gauge` : text;
}

function figures(setup: Setup, units: Choice): HTMLElement | null {
  if (setup.build.figures.length === 0) return null;
  const compared = setup.build.figures.some((each) => each.as_found !== null);
  return wide('Figures to set and to measure', html('table', { class: 'to-measure' }, html('caption', {}, 'To set and to measure'),
    html('thead', {}, html('tr', {}, html('th', { scope: 'col' }, 'what'), html('th', { scope: 'col', class: 'figure' }, 'wanted'),
      compared ? html('th', { scope: 'col', class: 'figure' }, 'as found') : null, html('th', { scope: 'col' }, 'measured'))),
    html('tbody', {}, ...setup.build.figures.map((each) => html('tr', { class: each.changed ? 'is-changed' : null },
      html('th', { scope: 'row' }, each.what, each.note ? html('span', { class: 'quiet' }, ` (${each.note})`) : null, ' ', changed_mark(each.changed)),
      html('td', { class: 'figure' }, amount(each, each.value, units)),
      compared ? html('td', { class: 'figure' }, amount(each, each.as_found, units)) : null,
      html('td', { class: 'box' }, html('span', { class: 'unseen' }, 'to fill in')))))));
}

function changes(setup: Setup): HTMLElement | null {
  if (setup.build.changes.length === 0) return null;
  return html('div', { class: 'changes' }, html('h4', {}, 'Against as-found'),
    html('ul', {}, ...setup.build.changes.map((change) => html('li', {}, `${change.key}: ${change.from} → ${change.to}`))));
}

function sheet(setup: Setup, several: boolean, units: Choice): HTMLElement {
  const field = (what: string) => html('span', { class: 'field' }, what);
  return html('article', { class: 'sheet' },
    html('h3', {}, `${prefix(setup.name, several)}${setup.inspect.title}`),
    html('p', { class: 'fields' }, field('Unit no.'), field('Date'), field('Built by')),
    html('p', { class: 'about' }, 'Shims in the order they go on, from the piston face. ◆ marks what differs from as-found.'),
    changes(setup), html('div', { class: 'stacks' }, ...setup.build.valves.map((valve) => stack(valve, units))), figures(setup, units));
}

export function build_sheets(context: Context): HTMLElement {
  const host = html('div');
  const several = context.page.setups.length > 1;
  context.part(() => host.replaceChildren(...context.page.setups.map((setup) => sheet(setup, several, context.units))));
  return host;
}
