// The traces of a ride one under another over the same distance, and where in them the picture stands.

import type { Context } from './context';
import type { Ride, RideSeries } from './data';
import { svg } from './dom';
import { at_moment, place_of } from './ride_drawing';
import { colour_of, dash_of } from './theme';
import { with_unit, type Quantity } from './units';

export interface Traced {
  name: string;
  look: number; // colour and dash
  ride: Ride;
  series: RideSeries;
}

export interface Trace {
  name: string;
  quantity: Quantity;
  read: (series: RideSeries) => number[];
}

export const traces: Trace[] = [
  { name: 'height of the wheel', quantity: 'length', read: (series) => series.unsprung_m },
  { name: 'travel', quantity: 'length', read: (series) => series.travel_m },
  { name: 'wheel load', quantity: 'force', read: (series) => series.wheel_load_N },
  { name: 'acceleration of the body', quantity: 'acceleration', read: (series) => series.acceleration_m_s2 },
];

const left = 84;
const right = 10;
const on_screen = { height: 62, gap: 26 };
const on_paper = { height: 40, gap: 22 };

export const along = ({ ride, series }: Traced): number[] => (ride.by_time ? series.time_s : series.distance_m);

// The share of the whole that a place across the drawing stands for.
export function share_at(place: number, width: number): number {
  const share = (place - left) / (width - left - right);
  return Math.min(Math.max(share, 0), 1);
}

export function strips_drawing(all: Traced[], time: number, context: Context, width: number): SVGElement {
  const { theme, units } = context;
  const strip = context.printing ? on_paper : on_screen;
  const inner = width - left - right;
  const last = Math.max(...all.map((each) => along(each)[along(each).length - 1]), 1e-9);
  const height = traces.length * (strip.height + strip.gap) + 22;
  const x = (value: number) => left + (value / last) * inner;
  const now = x(at_moment(along(all[0]), place_of(all[0].series.time_s, time)));
  const quantity = all[0].ride.by_time ? 'time' : 'distance';
  return svg(
    'svg',
    {
      width,
      height,
      viewBox: `0 0 ${width} ${height}`,
      role: 'img',
      class: 'strips',
      'aria-label': `${traces.map((trace) => trace.name).join(', ')}, each over the ${quantity}; figures of the moment are in the table`,
    },
    ...traces.flatMap((trace, row) => {
      const values = all.map(({ series }) => trace.read(series));
      const low = Math.min(0, ...values.flat());
      const high = Math.max(0, ...values.flat());
      const top = row * (strip.height + strip.gap) + 20;
      const y = (value: number) => top + ((high - value) / Math.max(high - low, 1e-12)) * strip.height;
      return [
        svg('text', { class: 'strong', x: left, y: top - 6 }, trace.name),
        svg('rect', { class: 'gauge', x: left, y: top, width: inner, height: strip.height }),
        svg('line', { class: 'leader', x1: left, x2: left + inner, y1: y(0), y2: y(0) }),
        svg('text', { class: 'quiet', x: left - 5, y: top + 10, 'text-anchor': 'end' }, with_unit(high, trace.quantity, units)),
        low < 0
          ? svg('text', { class: 'quiet', x: left - 5, y: top + strip.height, 'text-anchor': 'end' }, with_unit(low, trace.quantity, units))
          : null,
        ...all.map((each, i) =>
          svg('path', {
            class: 'strip-line',
            stroke: colour_of(each.look, theme),
            'stroke-dasharray': dash_of(each.look).join(' ') || null,
            d: along(each)
              .map((place, k) => `${k > 0 ? 'L' : 'M'}${x(place).toFixed(1)} ${y(values[i][k]).toFixed(1)}`)
              .join(''),
          }),
        ),
      ];
    }),
    svg('line', { class: 'moment', x1: now, x2: now, y1: 14, y2: height - 34 }),
    svg('text', { class: 'quiet', x: left, y: height - 8 }, with_unit(0, quantity, units)),
    svg('text', { class: 'quiet', x: width - right, y: height - 8, 'text-anchor': 'end' }, with_unit(last, quantity, units)),
  );
}
