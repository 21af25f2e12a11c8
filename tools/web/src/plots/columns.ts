// Lines and axes of a plot from columns of the data, under the names that the program gives them.

import type { Field, Maybe } from '../data';
import type { Quantity } from '../units';
import { points_of, type Axis, type Line } from './model';

type Numbers<Row> = { [K in keyof Row]-?: Row[K] extends Maybe<number> | undefined ? K : never }[keyof Row] & string;

export function quantity_of_field(field: Field): Quantity {
  if (field.measure === 'words') throw new Error(`${field.words} is no number`);
  return field.measure;
}

// `words`: in place of the field's, where its axis says the rest.
export function axis(field: Field, rest: Partial<Axis> = {}): Axis {
  return { name: field.words, quantity: quantity_of_field(field), ...rest };
}

export function column<Row>(
  fields: Partial<Record<keyof Row & string, Field>>,
  rows: Row[],
  x: Numbers<Row>,
  y: Numbers<Row>,
  look: number,
  rest: Partial<Line> = {},
): Line {
  return {
    name: fields[y]?.words ?? y,
    look,
    points: points_of(
      rows,
      (row) => row[x] as number,
      (row) => row[y] as Maybe<number>,
    ),
    ...rest,
  };
}
