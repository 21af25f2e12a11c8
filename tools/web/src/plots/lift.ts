// What one valve's shims do under pressure alone: lift, and where contacts change.

import { valves_of, type Fields, type Page, type Setup, type ValveLift } from '../data';
import { joined, letter, prefix } from '../words';
import { axis, column } from './columns';
import { has_figures, type Line, type Plot, type Point, type Region } from './model';

// What is in view at first: the largest pressure drop across this valve on the curve, and a little more.
function used_pressure(page: Page, valve: string): number | undefined {
  const [place, way] = valve.split('.');
  const rebound = way === 'rebound' || way === 'refill';
  const drops = page.setups
    .flatMap(({ curve }) => (curve ? curve.points : []))
    .filter((p) => p.speed_m_s < 0 === rebound)
    .map((p) => (place === 'base' ? p.dp_base_Pa : p.dp_piston_Pa) ?? 0);
  const largest = Math.max(0, ...drops);
  return largest > 0 ? 1.1 * largest : undefined;
}

function lift_at(lift: ValveLift, pressure: number): number | null {
  for (let i = 1; i < lift.points.length; i += 1) {
    const [before, after] = [lift.points[i - 1], lift.points[i]];
    if (pressure < before.pressure_Pa || pressure > after.pressure_Pa) continue;
    if (before.seat_lift_m === null || after.seat_lift_m === null) return null;
    const share =
      after.pressure_Pa > before.pressure_Pa
        ? (pressure - before.pressure_Pa) / (after.pressure_Pa - before.pressure_Pa)
        : 0;
    return before.seat_lift_m + share * (after.seat_lift_m - before.seat_lift_m);
  }
  return null;
}

// An event names the two things that meet or part: 0 is the piston, 1 the face shim.
function event_name(event: ValveLift['events'][number]): string {
  const [lower, upper] = event.shims;
  if (upper === undefined) return event.kind;
  return lower === 0 ? `${event.kind}, face shim and piston` : `${event.kind}, shims ${lower} and ${upper}`;
}

type Key = Parameters<typeof column<ValveLift['points'][number]>>[3];

function lines_of(fields: Fields['lift'], of: string[] | undefined, setup: Setup, lift: ValveLift, look: number): Line[] {
  const line = (key: Key, rest: Partial<Line> = {}) =>
    column(fields, lift.points, 'pressure_Pa', key, look, { of, ...rest });
  // Crests and troughs leave the mean where the waves begin.
  const begin = waves_from(setup, lift);
  const parted = (key: Key, dash: number): Line => {
    const whole = line(key, { dash });
    const beyond = whole.points.filter(([pressure, value]) => value !== null && (begin === null || pressure > begin));
    return { ...whole, points: begin !== null && beyond.length > 0 ? [[begin, lift_at(lift, begin)], ...beyond] : beyond };
  };
  const events: Point[] = lift.events.map((event) => [event.pressure_Pa, lift_at(lift, event.pressure_Pa)]);
  const detail: Line[] = [
    line('seat_lift_mid_port_m', { dash: 3 }),
    line('seat_lift_mid_land_m', { dash: 4 }),
    ...(lift.points.some((point) => point.seat_lift_mid_port_m != null)
      ? [] // over ports these are the same
      : [parted('seat_lift_crest_m', 3), parted('seat_lift_trough_m', 4)]),
    line('linear_seat_lift_m', { dash: 2, hidden: true }),
  ];
  return [
    line('seat_lift_m'),
    line('float_lift_m', { dash: 1, hidden: true }),
    ...(of ? [] : detail), // of several set-ups it would hide the comparison
    line('seat_lift_m', {
      name: 'contacts change',
      kind: 'points',
      symbol: 'diamond',
      points: events,
      labels: lift.events.map(event_name),
    }),
  ].filter(has_figures);
}

const bends = (lift: ValveLift) => lift.shape === 'as it bends';

// Where the shape stops being round: as it bends by the waves that are followed, else where the round one buckles.
function waves_from({ curve }: Setup, lift: ValveLift): number | null {
  const followed = curve?.not_round?.find(({ valve, over_ports }) => valve === lift.valve && !over_ports);
  return followed?.from_pressure_Pa ?? lift.waves_from_Pa ?? null;
}

function waves(setup: Setup, lift: ValveLift): Region[] {
  const last = lift.points[lift.points.length - 1]?.pressure_Pa ?? 0;
  const from = waves_from(setup, lift);
  if (from === null || from >= last) return [];
  return [{ name: bends(lift) ? 'in waves' : 'not round any more', from, to: last }];
}

// Set-ups that begin alike share a region.
function shared(regions: { name: string; region: Region }[], several: boolean): Region[] {
  const kept: { names: string[]; region: Region }[] = [];
  for (const { name, region } of regions) {
    const same = kept.find(({ region: other }) => JSON.stringify(other) === JSON.stringify(region));
    if (same) same.names.push(name);
    else kept.push({ names: [name], region });
  }
  return kept.map(({ names, region }) => ({ ...region, name: `${prefix(joined(names), several)}${region.name}` }));
}

// What the shading means, and from which rod speed a valve comes there.
function round_words(lifts: { setup: Setup; lift: ValveLift }[], several: boolean): string[] {
  const said = lifts.flatMap(({ setup, lift }) =>
    (setup.curve?.not_round ?? [])
      .filter((bent) => bent.valve === lift.valve)
      .map((bent) => `${prefix(setup.name, several)}${bent.says}.`),
  );
  const shaded = lifts.filter(({ setup, lift }) => waves(setup, lift).length > 0);
  if (shaded.some(({ lift }) => bends(lift)))
    said.unshift('Shaded: the round shape buckles into waves, which the lines follow.');
  if (shaded.some(({ lift }) => !bends(lift)))
    said.unshift('Shaded: the round shape buckles into waves; do not trust lift and stress there.');
  return said;
}

export function lift_plots(page: Page): Plot[] {
  const several = page.setups.length > 1;
  const names = [...new Set(page.setups.flatMap((setup) => valves_of(setup.lift).map((lift) => lift.valve)))];
  return names
    .map((valve) => {
      const lifts = page.setups.flatMap((setup, look) =>
        valves_of(setup.lift)
          .filter((lift) => lift.valve === valve)
          .map((lift) => ({ setup, lift, look })),
      );
      const ends = lifts
        .filter(({ lift }) => lift.end_reason ?? lift.error)
        .map(({ setup, lift }) => `${prefix(setup.name, several)}the curve ends: ${lift.end_reason ?? lift.error}.`);
      const regions = shared(
        lifts.flatMap(({ setup, lift }) => waves(setup, lift).map((region) => ({ name: setup.name, region }))),
        several,
      );
      return {
        id: `lift-${valve}`,
        title: `Lift of ${valve}`,
        about: [
          'Lift at the seat against the pressure on the zone under the face shim, without flow. In view at ' +
            'first: up to the largest pressure drop across this valve on the curve.',
          ...round_words(lifts, several),
          ...ends,
        ],
        x: axis(page.fields.lift.pressure_Pa, { from: 0, to: used_pressure(page, valve) }),
        y: axis(page.fields.lift.seat_lift_m, { name: 'lift' }),
        regions,
        lines: lifts.flatMap(({ setup, lift, look }) => lines_of(page.fields.lift, letter(setup.name, several), setup, lift, look)),
      };
    })
    .filter((plot) => plot.lines.length > 0);
}
