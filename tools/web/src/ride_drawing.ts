// One moment of a ride: ground, wheel, unit and body, heights and lengths in one proportion.

import type { Ride, RideSeries } from './data';
import { svg } from './dom';

const before = 0.42; // the wheel's place, as a share of the width
const reach = 0.45; // from hub to body at the start, only drawn [m]
const body = { length: 0.62, height: 0.11 }; // only drawn [m]
const below = 0.34; // of the ground, for the arrow [m]
const longest_arrow = 0.3; // [m]

// Where in the columns of a series a time lies, between two of its moments: these are as dense as what happens.
export function place_of(time_s: number[], time: number): number {
  let low = 0;
  let high = time_s.length - 1;
  while (high - low > 1) {
    const middle = (low + high) >> 1;
    if (time_s[middle] <= time) low = middle;
    else high = middle;
  }
  const width = time_s[high] - time_s[low];
  return width > 0 ? low + Math.min(Math.max((time - time_s[low]) / width, 0), 1) : low;
}

// A column of the series at a place between its moments.
export function at_moment(values: number[], moment: number): number {
  const low = Math.min(Math.max(Math.floor(moment), 0), values.length - 1);
  const high = Math.min(low + 1, values.length - 1);
  return values[low] + (moment - low) * (values[high] - values[low]);
}

export interface Extent {
  low: number; // of the ground [m]
  high: number; // of the body
  most_load: number; // [N]
}

// What all moments of all set-ups need, so that pictures side by side are alike and keep their size.
export function extent_of(rides: { ride: Ride; series: RideSeries }[]): Extent {
  const grounds = rides.flatMap(({ ride }) => ride.ground?.height_m ?? [0]);
  const wheels = rides.flatMap(({ series }) => series.unsprung_m);
  const bodies = rides.flatMap(({ series }) => series.sprung_m);
  const radius = Math.max(...rides.map(({ ride }) => ride.wheel_radius_m));
  return {
    low: Math.min(0, ...grounds, ...wheels),
    high: radius + reach + body.height + Math.max(0, ...bodies),
    most_load: Math.max(1, ...rides.flatMap(({ series }) => series.wheel_load_N)),
  };
}

function line_of(points: [number, number][]): string {
  return points.map(([x, y], i) => `${i > 0 ? 'L' : 'M'}${x.toFixed(1)} ${y.toFixed(1)}`).join('');
}

export function moment_drawing(ride: Ride, series: RideSeries, time: number, extent: Extent, width: number, told: string): SVGElement {
  const scale = width / (width < 420 ? 2.3 : 3.1); // [px/m]
  const moment = place_of(series.time_s, time);
  const along = at_moment(series.distance_m, moment);
  const x = (distance: number) => before * width + (distance - along) * scale;
  const top = extent.high + 0.08;
  const y = (height: number) => (top - height) * scale;
  const floor = y(extent.low - below);
  const wheel = at_moment(series.unsprung_m, moment);
  const hub = y(wheel + ride.wheel_radius_m);
  const carried = (rise: number) => y(ride.wheel_radius_m + reach + rise);
  const under = carried(at_moment(series.sprung_m, moment));
  const middle = before * width;

  const ground: [number, number][] = (ride.ground?.distance_m ?? [along - 4, along + 4]).map((distance, i) => [
    x(distance),
    y(ride.ground?.height_m[i] ?? 0),
  ]);
  // No more of it than is seen, with a point beyond either side.
  const first = Math.max(ground.findIndex(([place]) => place > 0) - 1, 0);
  const after = ground.findIndex(([place]) => place > width);
  const seen = ground.slice(first, after < 0 ? ground.length : after + 1);
  const path = (height: (i: number) => number): string =>
    line_of(
      series.distance_m.flatMap((distance, i): [number, number][] =>
        x(distance) >= 0 && x(distance) <= width ? [[x(distance), height(i)]] : [],
      ),
    );

  const load = at_moment(series.wheel_load_N, moment);
  const contact = y(Math.max(wheel, at_moment(series.ground_m, moment)));
  const arrow = (load / extent.most_load) * longest_arrow * scale;
  const full = ride.full_travel_m ?? 0;
  const travel = Math.max(at_moment(series.travel_m, moment), 0);
  const gauge = { x: width - 22, top: Math.max(y(top - 0.1), 20), height: 0.62 * scale }; // its name stands above it
  const filled = full > 0 ? Math.min(travel / full, 1) * gauge.height : 0;

  return svg(
    'svg',
    { width, height: Math.round(floor), viewBox: `0 0 ${width} ${Math.round(floor)}`, role: 'img', 'aria-label': told },
    svg('path', { class: 'land', d: `${line_of([[-20, floor + 9], [-20, seen[0]?.[1] ?? y(0)], ...seen])}L${width + 20} ${seen[seen.length - 1]?.[1] ?? y(0)}L${width + 20} ${floor + 9}Z` }),
    ...(ride.by_time
      ? []
      : [
          svg('path', { class: 'path', d: path((i) => y(series.unsprung_m[i] + ride.wheel_radius_m)) }),
          svg('path', { class: 'path', d: path((i) => carried(series.sprung_m[i])) }),
        ]),
    svg('line', { class: 'leader', x1: middle - 0.5 * scale, x2: middle + 0.5 * scale, y1: carried(0), y2: carried(0) }),
    svg('line', { class: 'stanchion', x1: middle, x2: middle, y1: under, y2: hub }),
    svg('rect', { class: 'tube', x: middle - 6, width: 12, y: under, height: 0.16 * scale }),
    svg('circle', { class: 'tyre', cx: middle, cy: hub, r: Math.max(ride.wheel_radius_m * scale - 2.5, 3) }),
    svg('circle', { class: 'hub', cx: middle, cy: hub, r: 7 }),
    svg('rect', {
      class: 'body',
      x: middle - 0.5 * body.length * scale,
      width: body.length * scale,
      y: under - body.height * scale,
      height: body.height * scale,
      rx: 5,
    }),
    ...(load > 0
      ? [
          svg('line', { class: 'push', x1: middle, x2: middle, y1: contact + Math.max(arrow, 9), y2: contact + 8 }),
          svg('path', { class: 'push-head', d: `M${middle} ${contact + 1}l6 9h-12z` }),
        ]
      : [svg('text', { class: 'strong', x: middle, y: floor - 8, 'text-anchor': 'middle' }, 'off the ground')]),
    svg('rect', { class: 'gauge', x: gauge.x, width: 12, y: gauge.top, height: gauge.height }),
    svg('rect', { class: 'gauge-fill', x: gauge.x, width: 12, y: gauge.top, height: filled }),
    svg('text', { class: 'quiet', x: gauge.x + 12, y: gauge.top - 6, 'text-anchor': 'end' }, 'travel used'),
  );
}
