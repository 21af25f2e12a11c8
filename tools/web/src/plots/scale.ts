// Axes with round ends, and what part of a plot is in view.

import type { Line, Plot } from './model';

export interface Range {
  min: number;
  max: number;
}

// 1, 2 or 5 times a power of ten, so that about `count` steps fill the range.
function round_step(range: number, count: number): number {
  const rough = range / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  const lead = rough / power;
  return power * (lead <= 1 ? 1 : lead <= 2 ? 2 : lead <= 5 ? 5 : 10);
}

export function widened(range: Range, count: number): Range & { step: number } {
  // Of one value alone there is some room about it; of nothing but zeros, above it.
  const about = range.min === 0 ? { min: 0, max: 1 } : { min: range.min - 0.5, max: range.min + 0.5 };
  const { min, max } = range.max > range.min ? range : about;
  const step = round_step(max - min, count);
  // A hair of slack, so that 0.3000000004 does not cost a whole step.
  const slack = 1e-6;
  return { min: Math.floor(min / step + slack) * step, max: Math.ceil(max / step - slack) * step, step };
}

export function whole_x(plot: Plot): Range {
  const xs = plot.lines.flatMap((line) => line.points.filter(([, y]) => y !== null).map(([x]) => x));
  return { min: Math.min(...xs), max: Math.max(...xs) };
}

export function first_x(plot: Plot): Range {
  const whole = whole_x(plot);
  return { min: plot.x.from ?? whole.min, max: Math.min(plot.x.to ?? whole.max, whole.max) };
}

// Where a line enters and leaves the view, so that a steep one is not cut off.
function within(line: Line, view: Range): number[] {
  const ys: number[] = [];
  line.points.forEach(([x, y], i) => {
    if (y === null) return;
    if (x >= view.min && x <= view.max) ys.push(y);
    const next = line.points[i + 1];
    if (line.kind === 'points' || !next || next[1] === null || next[0] === x) return;
    for (const edge of [view.min, view.max])
      if ((x - edge) * (next[0] - edge) < 0) ys.push(y + ((next[1] - y) * (edge - x)) / (next[0] - x));
  });
  return ys;
}

export function y_in_view(plot: Plot, lines: Line[], view: Range): Range {
  const ys = lines.flatMap((line) => within(line, view));
  for (const level of plot.levels ?? []) ys.push(level.y);
  if (plot.y.from !== undefined) ys.push(plot.y.from);
  if (plot.y.to !== undefined) ys.push(plot.y.to);
  if (ys.length === 0) return { min: 0, max: 1 };
  const range = { min: Math.min(...ys), max: Math.max(...ys) };
  // Differences, forces and lifts are read from zero.
  return plot.y.quantity === 'gauge' ? range : { min: Math.min(range.min, 0), max: Math.max(range.max, 0) };
}

// The view times `factor` about the share `at` of it, kept within the whole.
export function zoomed(view: Range, whole: Range, factor: number, at = 0.5): Range {
  const width = Math.min((view.max - view.min) * factor, whole.max - whole.min);
  const min = view.min + at * (view.max - view.min - width);
  return shifted({ min, max: min + width }, whole, 0);
}

export function shifted(view: Range, whole: Range, by: number): Range {
  const width = view.max - view.min;
  const min = Math.min(Math.max(view.min + by, whole.min), whole.max - width);
  return { min, max: min + width };
}
