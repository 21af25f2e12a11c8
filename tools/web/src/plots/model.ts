// A plot, free of how it is drawn: SI figures and their quantities. The drawing, the table and the
// CSV are made from the same lines, so they cannot differ.

import type { Context } from '../context';
import type { Maybe, Page } from '../data';
import type { Quantity } from '../units';

export interface Axis {
  name: string;
  quantity: Quantity;
  from?: number; // what is in view at first; the reader may widen it
  to?: number;
}

export type Point = [number, Maybe<number>];

export interface Line {
  name: string;
  points: Point[];
  look: number;                // colour, dash and symbol belong together
  dash?: number;               // another dash than the look's
  kind?: 'line' | 'points';    // points: measured figures and marks, not joined
  hidden?: boolean;            // until the reader switches it on
  labels?: string[];           // of each point, where it has a name
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

export interface Plot {
  id: string;
  title: string;
  about: string[];
  x: Axis;
  y: Axis;
  lines: Line[];
  bands?: Band[];
  regions?: Region[];
  levels?: Level[];
  extra?: (context: Context) => HTMLElement; // a short table of what the lines do not hold
}

export interface PlotEntry {
  group: string;
  make: (page: Page) => Plot[];
}

export function points_of<T>(rows: T[], x: (row: T) => number, y: (row: T) => Maybe<number> | undefined): Point[] {
  return rows.map((row) => [x(row), y(row) ?? null]);
}

export function has_figures(line: Line): boolean {
  return line.points.some(([, y]) => y !== null);
}
