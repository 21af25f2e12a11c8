// Dynamometer cycles in time: what is lost at the reversals, loops, and the chamber that has to refill.

import type { Cycle, Maybe, Page, Series } from '../data';
import { letter } from '../words';
import { has_figures, points_of, type Axis, type Line, type Plot } from './model';

// In view at first, beside what `first` asks for; the others are switched on.
const middling = 4; // [Hz]

// A line for each set-up and frequency, from two columns of its series.
function lines_of(
  page: Page,
  x: (at: number, cycle: Cycle, series: Series) => number,
  y: (series: Series) => Maybe<number>[],
  first: (series: Series) => boolean = () => false,
): Line[] {
  const several = page.setups.length > 1;
  return page.setups
    .flatMap((setup, look) =>
      (setup.cycles?.cycles ?? []).flatMap((cycle, dash): Line[] => {
        const { series, frequency_Hz } = cycle;
        if (!series) return [];
        return [
          {
            of: letter(setup.name, several),
            name: `${frequency_Hz} Hz`,
            look: several ? look : dash,
            dash: several ? dash : undefined,
            points: y(series).map((value, at) => [x(at, cycle, series), value]),
            hidden: frequency_Hz !== middling && !first(series),
          },
        ];
      }),
    )
    .filter(has_figures);
}

function about_cycles(page: Page): string {
  const first = page.setups.find((setup) => setup.cycles)?.cycles;
  const still = page.setups.flatMap((setup) =>
    setup.cycles?.valves === 'quasi-static' ? [`${setup.name}: valves follow the pressure at once`] : [],
  );
  const stroke = (first?.cycles[0]?.stroke_m ?? 0) * 1e3;
  return [`A sine of ${stroke.toFixed(0)} mm about mid travel, run until the next would be the same.`, ...still].join(' ');
}

export function dead_travel_plots(page: Page): Plot[] {
  const several = page.setups.length > 1;
  const lines = page.setups
    .flatMap((setup, look): Line[] => {
      const cycles = setup.cycles?.cycles ?? [];
      const of = letter(setup.name, several);
      const line = (name: string, dash: number, read: (cycle: Cycle) => Maybe<number>): Line => ({
        of,
        name,
        look,
        dash,
        points: points_of(cycles, (cycle) => cycle.frequency_Hz ?? 0, read),
      });
      return [
        line('into compression', 0, (cycle) => cycle.dead_travel_compression_m),
        line('into rebound', 1, (cycle) => cycle.dead_travel_rebound_m),
      ];
    })
    .filter(has_figures);
  if (lines.length === 0) return [];
  return [
    {
      id: 'dead-travel',
      title: 'Dead travel at the reversals',
      about: [
        'Travel after a reversal before the damping force is back at 90 % of its steady value.',
        about_cycles(page),
      ],
      x: { name: 'frequency', quantity: 'frequency', from: 0 },
      y: { name: 'dead travel', quantity: 'length', from: 0 },
      lines,
    },
  ];
}

export function loop_plots(page: Page): Plot[] {
  const several = page.setups.length > 1;
  const lines = lines_of(
    page,
    (at, _, series) => series.travel_m[at],
    (series) => series.force_N,
    () => !several,
  );
  if (lines.length === 0) return [];
  return [
    {
      id: 'loops',
      title: 'Force over travel in a cycle',
      about: ['Force on the rod, outwards, over travel from full extension.', about_cycles(page)],
      x: { name: 'travel from full extension', quantity: 'length' },
      y: { name: 'force', quantity: 'force' },
      lines,
    },
  ];
}

// What is followed over one cycle, from the outer end of the stroke.
interface Trace {
  id: string;
  title: string;
  about?: string;
  y: Axis;
  read: (series: Series) => number[];
  empties?: (series: Series) => number[]; // the void of a chamber whose pressure this is
  rests?: boolean; // at none most of the time: every cycle that has some is in view
}

const traces: Trace[] = [
  { id: 'cycle-force', title: 'Force', y: { name: 'force', quantity: 'force' }, read: ({ force_N }) => force_N },
  {
    id: 'refill',
    title: 'The chamber behind the piston',
    about: 'Its pressure',
    y: { name: 'pressure', quantity: 'gauge' },
    read: ({ p_C_hPa }) => p_C_hPa.map((value) => value * 100),
    empties: ({ void_C_mm3 }) => void_C_mm3,
  },
  {
    id: 'cycle-rebound',
    title: 'The chamber around the rod',
    about: 'Its pressure',
    y: { name: 'pressure', quantity: 'gauge' },
    read: ({ p_R_hPa }) => p_R_hPa.map((value) => value * 100),
    empties: ({ void_R_mm3 }) => void_R_mm3,
  },
  {
    id: 'cycle-void-C',
    title: 'Void behind the piston',
    y: { name: 'void', quantity: 'volume', from: 0 },
    read: ({ void_C_mm3 }) => void_C_mm3.map((value) => value * 1e-9),
    rests: true,
  },
  {
    id: 'cycle-void-R',
    title: 'Void around the rod',
    y: { name: 'void', quantity: 'volume', from: 0 },
    read: ({ void_R_mm3 }) => void_R_mm3.map((value) => value * 1e-9),
    rests: true,
  },
];

// When it opens and when it is shut again.
function lift_trace(valve: string): Trace {
  return {
    id: `cycle-lift-${valve.replace('.', '-')}`,
    title: `Lift of ${valve}`,
    about: 'At its seat',
    y: { name: 'lift at the seat', quantity: 'length', from: 0 },
    read: ({ lift_um }) => (lift_um[valve] ?? []).map((value) => value * 1e-6),
  };
}

export function cycle_plots(page: Page): Plot[] {
  const all = page.setups.flatMap((setup) => (setup.cycles?.cycles ?? []).flatMap(({ series }) => series ?? []));
  const valves = new Set(all.flatMap((series) => Object.keys(series.lift_um)));
  const any = (values: number[]) => values.some((value) => value !== 0);
  return [...traces, ...[...valves].map(lift_trace)].flatMap(({ id, title, about, y, read, empties, rests }): Plot[] => {
    // No void, nothing to draw: a sentence beside the pressure says so.
    if (!all.some((series) => any(read(series)))) return [];
    const part = (at: number, _: Cycle, series: Series) => at / (series.force_N.length - 1);
    const lines = lines_of(page, part, read, (series) => rests === true && any(read(series)));
    const is_full = empties !== undefined && !all.some((series) => any(empties(series)));
    return [
      {
        id,
        title: `${title} over one cycle`,
        about: [
          `${about ? `${about}, from` : 'From'} the outer end of the stroke: in for one half, out for the other.`,
          about_cycles(page),
          ...(is_full ? ['No void forms in it at any of the frequencies.'] : []),
        ],
        x: { name: 'part of the cycle', quantity: 'share' },
        y,
        lines,
        cursor: 'cycle',
      },
    ];
  });
}
