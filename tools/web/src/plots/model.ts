// A plot, free of how it is drawn: SI figures and their quantities. The drawing, the table and the
// CSV are made from the same lines, so they cannot differ.

import type { Maybe, Page, VoidOnset } from '../data';
import type { Symbol } from '../theme';
import type { Quantity } from '../units';
import { joined } from '../words';

export interface Axis {
  name: string;
  quantity: Quantity;
  from?: number; // what is in view at first; the reader may widen it
  to?: number;
}

export type Point = [number, Maybe<number>];

export interface Line {
  of?: string[]; // the set-ups whose figures these are, where there are several
  name: string;
  points: Point[];
  look: number; // colour, dash and symbol belong together
  symbol?: Symbol; // another symbol than the look's
  dash?: number; // another dash than the look's
  kind?: 'line' | 'points'; // points: measured figures and marks, not joined
  hidden?: boolean; // until the reader switches it on
  labels?: string[]; // of each point, where it has a name
  marks?: string[]; // likewise, written beside it: a number, a letter
}

// What lies between two lines over the same x.
export interface Band {
  name: string;
  between: { x: number; low: number; high: number }[];
}

export interface Region {
  name: string;
  from: number;
  to: number;
}

export interface Level {
  name: string;
  y: number;
}

// From which rod speed on a void forms at one setting.
export interface Onsets {
  setting: string;
  at: VoidOnset;
  near_extension: VoidOnset;
}

export interface Plot {
  id: string;
  of?: string[]; // the set-ups it belongs to, where it is not all
  title: string;
  about: string[];
  x: Axis;
  y: Axis;
  lines: Line[];
  bands?: Band[];
  regions?: Region[];
  levels?: Level[];
  onsets?: Onsets[]; // tabled under the plot
  cursor?: string; // plots of one name show the same x at once
  scattered?: boolean; // points that stand for themselves: as files, each has a row
}

export interface PlotEntry {
  group: string;
  make: (page: Page) => Plot[];
}

export function points_of<T>(rows: T[], x: (row: T) => number, y: (row: T) => Maybe<number> | undefined): Point[] {
  return rows.map((row) => [x(row), y(row) ?? null]);
}

// How a line or a plot is called where it stands alone.
export function full_name(line: Line): string {
  return line.of ? `${joined(line.of)}: ${line.name}` : line.name;
}

export function full_title(plot: Plot): string {
  return plot.of ? `${joined(plot.of)}: ${plot.title}` : plot.title;
}

// Set-ups whose figures are the same to the last digit share one line: that they do is worth knowing.
export function merged(lines: Line[]): Line[] {
  const kept: Line[] = [];
  for (const line of lines) {
    const same = kept.find(
      (each) =>
        each.name === line.name &&
        each.kind === line.kind &&
        JSON.stringify([each.points, each.labels]) === JSON.stringify([line.points, line.labels]),
    );
    if (same) same.of = [...(same.of ?? []), ...(line.of ?? [])];
    else kept.push({ ...line });
  }
  return kept;
}

// The same for whole plots.
export function merged_plots(plots: Plot[]): Plot[] {
  const kept: Plot[] = [];
  const content = ({ id: _, of: __, ...rest }: Plot) => JSON.stringify(rest);
  for (const plot of plots) {
    const same = plot.of && kept.find((each) => each.of && content(each) === content(plot));
    if (same) same.of = [...(same.of ?? []), ...(plot.of ?? [])];
    else kept.push({ ...plot });
  }
  return kept;
}

export function has_figures(line: Line): boolean {
  return line.points.some(([, y]) => y !== null);
}
