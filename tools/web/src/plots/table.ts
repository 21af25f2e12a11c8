// The figures of a plot as tables and as CSV.

import { html } from '../dom';
import { decimals_for, fixed, shown, unit_of, type Choice } from '../units';
import { full_name, full_title, type Line, type Plot } from './model';

// Lines over the same x share a table.
export function groups(plot: Plot): Line[][] {
  const by_x = new Map<string, Line[]>();
  for (const line of plot.lines) {
    const key = line.points.map(([x]) => x).join();
    by_x.set(key, [...(by_x.get(key) ?? []), line]);
  }
  return [...by_x.values()];
}

function column_heading(line: Line, plot: Plot, units: Choice): string {
  const unit = unit_of(plot.y.quantity, units).name;
  return line.name === plot.y.name && !line.of
    ? `${line.name} [${unit}]`
    : `${plot.y.name}, ${full_name(line)} [${unit}]`;
}

function decimals(values: (number | null)[], quantity: Parameters<typeof unit_of>[0], units: Choice): number {
  const unit = unit_of(quantity, units);
  const largest = Math.max(0, ...values.map((v) => (v === null ? 0 : Math.abs(shown(v, unit)))));
  return decimals_for(largest, unit);
}

export function figure_table(plot: Plot, lines: Line[], units: Choice): HTMLElement {
  const x_unit = unit_of(plot.x.quantity, units);
  const y_unit = unit_of(plot.y.quantity, units);
  const xs = lines[0].points.map(([x]) => x);
  const x_decimals = decimals(xs, plot.x.quantity, units);
  const y_decimals = lines.map((line) =>
    decimals(
      line.points.map(([, y]) => y),
      plot.y.quantity,
      units,
    ),
  );
  const labelled = lines.find((line) => line.labels);
  const heading = (text: string) => html('th', { scope: 'col', class: 'figure' }, text);
  return html(
    'table',
    {},
    html('caption', {}, `${full_title(plot)}: the figures drawn`),
    html(
      'thead',
      {},
      html(
        'tr',
        {},
        heading(`${plot.x.name} [${x_unit.name}]`),
        ...lines.map((line) => heading(`${full_name(line)} [${y_unit.name}]`)),
        labelled ? html('th', { scope: 'col' }, 'what') : null,
      ),
    ),
    html(
      'tbody',
      {},
      ...xs.map((x, row) =>
        html(
          'tr',
          {},
          html('th', { scope: 'row', class: 'figure' }, fixed(shown(x, x_unit), x_decimals)),
          ...lines.map((line, column) => {
            const y = line.points[row][1];
            return html('td', { class: 'figure' }, y === null ? '–' : fixed(shown(y, y_unit), y_decimals[column]));
          }),
          labelled ? html('td', {}, labelled.labels?.[row] ?? '') : null,
        ),
      ),
    ),
  );
}

function quoted(text: string): string {
  return `"${text.replace(/"/g, '""')}"`;
}

function number(value: number): string {
  return String(Number(value.toPrecision(10)));
}

// A row a point, with the name of its series and its own.
function scattered_csv(plot: Plot, units: Choice): string {
  const axes = [plot.x, plot.y].map((axis) => ({ axis, unit: unit_of(axis.quantity, units) }));
  const head = ['series', ...axes.map(({ axis, unit }) => `${axis.name} [${unit.name}]`), 'what'];
  const rows = plot.lines.flatMap((line) =>
    line.points.map((point, i) =>
      [
        quoted(full_name(line)),
        ...axes.map(({ unit }, which) => {
          const value = point[which];
          return value === null ? '' : number(shown(value, unit));
        }),
        quoted(line.labels?.[i] ?? ''),
      ].join(','),
    ),
  );
  return [head.map(quoted).join(','), ...rows, ''].join('\r\n');
}

// One rectangle over all x, in the units shown, every digit kept; a figure that is missing is empty.
export function csv(plot: Plot, units: Choice): string {
  if (plot.scattered) return scattered_csv(plot, units);
  const x_unit = unit_of(plot.x.quantity, units);
  const y_unit = unit_of(plot.y.quantity, units);
  const columns = plot.lines.map((line) => new Map(line.points));
  const xs = [...new Set(plot.lines.flatMap((line) => line.points.map(([x]) => x)))].sort((a, b) => a - b);
  const head = [`${plot.x.name} [${x_unit.name}]`, ...plot.lines.map((line) => column_heading(line, plot, units))];
  const rows = xs.map((x) =>
    [
      number(shown(x, x_unit)),
      ...columns.map((column) => {
        const y = column.get(x);
        return y === null || y === undefined ? '' : number(shown(y, y_unit));
      }),
    ].join(','),
  );
  return [head.map(quoted).join(','), ...rows, ''].join('\r\n');
}
