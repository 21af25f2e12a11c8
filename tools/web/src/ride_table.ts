// What sums the rides over one event up, a row a figure and a column a set-up.

import type { Context } from './context';
import type { Page, RideMetric } from './data';
import { html } from './dom';
import type { Traced } from './ride_strips';
import { wide } from './tables';
import { capital } from './words';
import { figure, unit_of, type Choice, type Quantity } from './units';

// Every figure that any of the rides tells, in their order.
function rows_of(all: Traced[]): RideMetric[] {
  const rows: RideMetric[] = [];
  for (const { ride } of all) {
    let place = 0;
    for (const metric of ride.metrics) {
      const found = rows.findIndex(({ words }) => words === metric.words);
      if (found < 0) rows.splice(place, 0, metric);
      place = (found < 0 ? place : found) + 1;
    }
  }
  return rows;
}

// The unit stands beside the name, so that the figures of two set-ups fit on a phone.
function named(words: string, measure: Quantity, units: Choice): string {
  const { name } = unit_of(measure, units);
  return name === '' ? words : `${words} [${name}]`;
}

// What it means that a ride does not tell a figure that another tells: no void, nothing lost, an end that is not met.
function untold({ ride }: Traced, { words, measure }: RideMetric, page: Page): string {
  if (ride.metrics.length === 0) return '–'; // it could not be ridden
  if (measure === 'volume' || measure === 'energy') return 'none';
  const meanings = Object.values(page.fields.figures).filter((field) => field.words === words);
  return meanings.map(({ missing }) => missing).find((missing) => missing !== undefined && missing !== '–') ?? '–';
}

export function metrics_table(all: Traced[], { page, units }: Context): HTMLElement {
  const several = page.setups.length > 1;
  const value = ({ ride }: Traced, asked: string) => ride.metrics.find(({ words }) => words === asked)?.value;
  const notes = all.flatMap(({ name, ride }) => ride.not_back.map((sentence) => (several ? `${name}: ${sentence}` : capital(sentence))));
  const table = wide(
    `What the ride over ${all[0].ride.event} comes to`,
    html(
      'table',
      { class: 'short' },
      html('caption', {}, 'The whole ride'),
      several
        ? html(
            'thead',
            {},
            html(
              'tr',
              {},
              html('th', { scope: 'col' }, 'figure'),
              ...all.map(({ name }) => html('th', { scope: 'col', class: 'figure' }, name)),
            ),
          )
        : null,
      html(
        'tbody',
        {},
        ...rows_of(all).map((row) =>
          html(
            'tr',
            {},
            html('th', { scope: 'row' }, named(row.words, row.measure, units)),
            ...all.map((each) => {
              const found = value(each, row.words);
              const text = found === undefined ? untold(each, row, page) : figure(found, row.measure, units);
              return html('td', { class: 'figure' }, text);
            }),
          ),
        ),
      ),
    ),
  );
  return html('div', {}, table, ...notes.map((note) => html('p', { class: 'about' }, note)));
}
