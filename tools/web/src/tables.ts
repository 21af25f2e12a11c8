// Key figures, what changed and why, defaults and warnings.

import type { Context } from './context';
import {
  valves_of,
  type ComparedFigure,
  type Comparison,
  type Maybe,
  type Page,
  type Setup,
  type ValveLift,
} from './data';
import { html, list, type Child } from './dom';
import { with_unit, type Choice, type Quantity } from './units';
import { joined, missing, name_of, quantity_of } from './words';

export function wide(label: string, ...children: Child[]): HTMLElement {
  return html('div', { class: 'wide', tabindex: 0, role: 'region', 'aria-label': label }, ...children);
}

function cell(text: string): HTMLElement {
  return html('td', { class: 'figure' }, text);
}

// Headings of words, of figures, and of words after them.
function heads(words: string[], figures: string[], after: string[] = []): HTMLElement {
  const head = (title: string, kind: string | null) => html('th', { scope: 'col', class: kind }, title);
  return html(
    'thead',
    {},
    html(
      'tr',
      {},
      ...words.map((title) => head(title, null)),
      ...figures.map((title) => head(title, 'figure')),
      ...after.map((title) => head(title, null)),
    ),
  );
}

// What is told for a goal: a heading and cells a row.
export function told_table(title: string, head: Child[], rows: { name: string; cells: Child[] }[]): HTMLElement {
  return wide(
    title,
    html(
      'table',
      { class: 'told' },
      html('caption', {}, title),
      html('thead', {}, html('tr', {}, ...head)),
      html('tbody', {}, ...rows.map(({ name, cells }) => html('tr', {}, html('th', { scope: 'row' }, name), ...cells))),
    ),
  );
}

function amount(figure: ComparedFigure, value: Maybe<number>, page: Page, units: Choice): string {
  return value === null ? missing(figure, page) : with_unit(value, quantity_of(figure, page), units);
}

function changes(comparison: Comparison, page: Page, units: Choice): HTMLElement {
  const letter = (file: string) =>
    page.setups[comparison.setups.findIndex((setup) => setup.file === file)]?.name ?? file;
  const several = comparison.setups.length > 2; // else all changes are the second's
  if (comparison.changes.length === 0) return html('p', {}, 'Nothing changed by more than counts as unchanged.');
  return wide(
    'What changed',
    html(
      'table',
      {},
      html('caption', {}, 'What changed, what a rider notices most first'),
      heads(several ? ['figure', 'set-up'] : ['figure'], ['from', 'to'], ['because of']),
      html(
        'tbody',
        {},
        ...comparison.changes.map((change) =>
          html(
            'tr',
            {},
            html('th', { scope: 'row' }, name_of(change, page, units)),
            several ? html('td', {}, letter(change.file)) : null,
            cell(amount(change, change.from, page, units)),
            cell(amount(change, change.to, page, units)),
            html('td', {}, change.because ?? '–'),
          ),
        ),
      ),
    ),
  );
}

function side_by_side(comparison: Comparison, page: Page, units: Choice): HTMLElement {
  const rows = comparison.setups[0]?.figures ?? [];
  return wide(
    'Figures side by side',
    html(
      'table',
      {},
      html('caption', {}, 'Figures side by side'),
      heads(
        ['figure'],
        page.setups.map((setup) => setup.name),
      ),
      html(
        'tbody',
        {},
        ...rows.map((row, i) =>
          html(
            'tr',
            {},
            html('th', { scope: 'row' }, name_of(row, page, units)),
            ...comparison.setups.map((setup) => {
              const figure = setup.figures[i];
              // Dead travel counts those reversals alone from which the damping came back.
              const not_back = figure?.not_back ? `, ${figure.not_back} not back` : '';
              return cell(figure ? (figure.error ?? `${amount(figure, figure.value, page, units)}${not_back}`) : '–');
            }),
          ),
        ),
      ),
    ),
  );
}

function unchanged(comparison: Comparison, page: Page, units: Choice): HTMLElement {
  const names = [...new Set(comparison.unchanged.map((figure) => name_of(figure, page, units).replace(/ from$/, '')))];
  const count = comparison.unchanged.length;
  return html(
    'details',
    {},
    html('summary', {}, html('b', {}, 'Unchanged: '), count > 0 ? `${count} figures` : 'nothing'),
    html('p', {}, names.length > 0 ? `${names.join('; ')}.` : 'Every figure moved.'),
  );
}

type Row = [string, Maybe<number> | undefined, Quantity, string?]; // the last: what a missing figure means

function damper_rows(setup: Setup, page: Page): Row[] {
  const { curve: words, figures } = page.fields;
  const { curve, support } = setup;
  const rows: Row[] = [];
  if (curve) {
    rows.push(
      [`${figures.void_onset_rebound_m_s.words} from`, curve.void_onset.rebound_m_s, 'speed', 'none'],
      [`${figures.void_onset_compression_m_s.words} from`, curve.void_onset.compression_m_s, 'speed', 'none'],
      [`${figures.void_onset_near_extension_rebound_m_s.words} from`, curve.void_onset_near_extension.rebound_m_s, 'speed', 'none'],
      [
        `${figures.void_onset_near_extension_compression_m_s.words} from`,
        curve.void_onset_near_extension.compression_m_s,
        'speed',
        'none',
      ],
    );
    for (const speed of [-2, -1, -0.1, 0.1, 1, 2]) {
      const point = curve.points.find((p) => Math.abs(p.speed_m_s - speed) < 1e-9);
      if (!point) continue;
      const way = speed < 0 ? 'rebound' : 'compression';
      rows.push([`${words.damping_force_N.words} on ${way} at`, point.damping_force_N, 'force', String(Math.abs(speed))]);
    }
    const one = curve.points.find((p) => Math.abs(p.speed_m_s + 1) < 1e-9);
    if (one) rows.push([`${words.refill_deficit_Pa.words} at 1 m/s`, one.refill_deficit_Pa, 'pressure']);
  }
  if (support) {
    rows.push(
      [figures.rider_sag_m.words, support.sag?.travel_m, 'length'],
      [figures.free_sag_m.words, support.free_sag?.travel_m, 'length'],
      ['support at full travel', support.end_force_N, 'force'],
      [figures.support_energy_J.words, support.energy_J, 'energy'],
      ['ride frequency with the rider', support.ride_frequency_Hz, 'frequency'],
    );
  }
  return rows;
}

// A file alone: what a comparison would put side by side, for the one set-up.
function alone(setup: Setup, page: Page, units: Choice): HTMLElement {
  const rows = damper_rows(setup, page).map(([name, value, quantity, other]) => {
    const title = name.endsWith(' at') ? `${name} ${with_unit(Number(other), 'speed', units)}` : name;
    const text =
      value === null || value === undefined
        ? quantity === 'speed'
          ? (other ?? '–')
          : '–'
        : with_unit(value, quantity, units);
    return html('tr', {}, html('th', { scope: 'row' }, title), cell(text));
  });
  if (rows.length === 0) return html('div');
  return wide(
    'Key figures',
    html('table', {}, html('caption', {}, 'Key figures'), heads(['figure'], ['value']), html('tbody', {}, ...rows)),
  );
}

function valve_figures(page: Page, units: Choice): HTMLElement {
  // Set-ups with the same valve share its row.
  const by_figures = new Map<string, { names: string[]; lift: ValveLift }>();
  for (const setup of page.setups) {
    for (const lift of valves_of(setup.lift)) {
      const key = JSON.stringify(lift);
      const same = by_figures.get(key);
      if (same) same.names.push(setup.name);
      else by_figures.set(key, { names: [setup.name], lift });
    }
  }
  const heading = [
    'cracks at',
    'opens at',
    'begins to float at',
    'bent beyond endless life from',
    'keeps a set from',
    'buckles out of round from',
    'computed up to',
  ];
  const from = (pressure: Maybe<number>, what: string) =>
    pressure === null ? 'none' : `${with_unit(pressure, 'pressure', units)}, ${what}`;
  const rows = [...by_figures.values()]
    .sort((a, b) => a.lift.valve.localeCompare(b.lift.valve))
    .map(({ names, lift }) => {
      const texts = [
        with_unit(lift.crack_pressure_Pa, 'pressure', units),
        with_unit(lift.opening_pressure_Pa, 'pressure', units),
        with_unit(lift.float_start_pressure_Pa, 'pressure', units),
        lift.points.some((point) => point.peak_stress_of_fatigue !== null)
          ? from(lift.fatigue_pressure_Pa, `shim ${lift.fatigue_shim ?? '–'}`)
          : 'not stated',
        lift.points.some((point) => point.peak_stress_of_yield !== null)
          ? from(lift.set_pressure_Pa, `shim ${lift.set_shim ?? '–'}`)
          : 'not stated',
        from(lift.waves_from_Pa ?? null, `${lift.waves ?? '–'} waves`),
        with_unit(lift.end_pressure_Pa, 'pressure', units),
      ];
      return html(
        'tr',
        {},
        html('th', { scope: 'row' }, page.setups.length > 1 ? `${lift.valve}, ${joined(names)}` : lift.valve),
        ...texts.map((text, i) => html('td', { class: 'figure', 'data-of': heading[i] }, text)),
      );
    });
  return wide(
    'Figures of the valves',
    html(
      'table',
      { class: 'dense in-cards' },
      html('caption', {}, 'Figures of the valves'),
      heads(['valve'], heading),
      html('tbody', {}, ...rows),
    ),
  );
}

export function key_figures(context: Context): HTMLElement {
  const host = html('div');
  context.part(() => {
    const { page, units } = context;
    const { comparison } = page;
    host.replaceChildren(
      ...(comparison
        ? [changes(comparison, page, units), unchanged(comparison, page, units), side_by_side(comparison, page, units)]
        : page.setups.slice(0, 1).map((setup) => alone(setup, page, units))),
      valve_figures(page, units),
    );
  });
  return host;
}

export function defaults(page: Page): HTMLElement {
  const all = new Map<string, Map<string, string>>();
  for (const setup of page.setups)
    for (const { key, value } of setup.inspect.defaults)
      all.set(key, (all.get(key) ?? new Map<string, string>()).set(setup.name, value));
  return html(
    'details',
    {},
    html('summary', {}, `${all.size} values that the files do not give: the defaults used`),
    wide(
      'Defaults used',
      html(
        'table',
        {},
        html('caption', {}, 'Defaults used; write the line into the file to change one'),
        heads(['key', ...page.setups.map((setup) => (page.setups.length > 1 ? setup.name : 'value'))], []),
        html(
          'tbody',
          {},
          ...[...all].map(([key, values]) =>
            html(
              'tr',
              {},
              html('th', { scope: 'row' }, key),
              ...page.setups.map((setup) => html('td', {}, values.get(setup.name) ?? 'from the file')),
            ),
          ),
        ),
      ),
    ),
  );
}

// Of the curve's warnings those of the unit, by rising speed; those of the file are the inspection's.
function warnings_by_speed({ curve }: Setup): string[] {
  if (!curve) return [];
  const of_file = curve.warnings.length - curve.warned.length;
  return curve.warned
    .map(({ speed_m_s }, i) => ({ speed: speed_m_s ?? Infinity, text: curve.warnings[of_file + i] }))
    .sort((a, b) => (a.speed === b.speed ? 0 : a.speed - b.speed)) // infinite ones stay as they stand
    .map(({ text }) => text);
}

// Each once, with the set-ups that it is true of.
export function warnings_of(page: Page): string[] {
  const all = new Map<string, string[]>();
  for (const setup of page.setups)
    for (const text of new Set([
      ...setup.ride_warnings,
      ...warnings_by_speed(setup),
      ...(setup.lift.warnings ?? []),
      ...(setup.support?.warnings ?? []),
      ...setup.inspect.warnings,
    ]))
      all.set(text, [...(all.get(text) ?? []), setup.name]);
  const several = page.setups.length > 1;
  return [...all].map(([text, names]) => (several ? `${joined(names)}: ${text}` : text));
}

export function warnings(page: Page): HTMLElement | null {
  const texts = warnings_of(page);
  return texts.length > 0 ? html('div', { class: 'warnings' }, html('h3', {}, 'Warnings'), list(texts)) : null;
}
