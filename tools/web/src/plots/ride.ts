// One wheel over the events asked for: what the unit, the wheel and the sprung mass do.

import type { Page, Ride, RideSeries } from '../data';
import type { Quantity } from '../units';
import { letter } from '../words';
import { has_figures, type Line, type Plot } from './model';

interface View {
  id: string;
  title: string;
  about: string;
  y: { name: string; quantity: Quantity };
  read: (series: RideSeries) => number[];
  with_ground?: boolean;
}

const views: View[] = [
  {
    id: 'travel',
    title: 'travel',
    about: 'Travel of the unit from full extension, and the ground as the wheel sees it.',
    y: { name: 'travel', quantity: 'length' },
    read: (series) => series.travel_m,
    with_ground: true,
  },
  {
    id: 'load',
    title: 'wheel load',
    about: 'Force of the ground on the tyre; none while the wheel is off the ground.',
    y: { name: 'wheel load', quantity: 'force' },
    read: (series) => series.wheel_load_N,
  },
  {
    id: 'harshness',
    title: 'acceleration of the sprung mass',
    about: 'Upwards; its r.m.s. is the harshness.',
    y: { name: 'acceleration', quantity: 'acceleration' },
    read: (series) => series.acceleration_m_s2,
  },
];

function points(ride: Ride, series: RideSeries, values: number[]): Line['points'] {
  const along = ride.by_time ? series.time_s : series.distance_m;
  return along.map((x, at) => [x, values[at]]);
}

export function ride_plots(page: Page): Plot[] {
  const several = page.setups.length > 1;
  const first = page.setups.find((setup) => setup.rides.length > 0);
  return (first?.rides ?? []).flatMap((event, number) =>
    views.map((view): Plot => {
      const lines = page.setups.flatMap((setup, look): Line[] => {
        const ride = setup.rides[number];
        if (!ride?.series) return [];
        return [
          {
            of: letter(setup.name, several),
            name: view.y.name,
            look,
            points: points(ride, ride.series, view.read(ride.series)),
          },
        ];
      });
      const series = event.series;
      if (view.with_ground && series && !event.by_time)
        lines.push({ name: 'ground', look: page.setups.length, points: points(event, series, series.ground_m) });
      return {
        id: `ride-${number}-${view.id}`,
        title: `${event.event}: ${view.title}`,
        about: [view.about, `${event.about}.`],
        x: event.by_time ? { name: 'time', quantity: 'time' } : { name: 'distance', quantity: 'distance' },
        y: view.y,
        lines: lines.filter(has_figures),
        cursor: `ride-${number}`,
      };
    }),
  );
}
