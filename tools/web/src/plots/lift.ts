// What one valve's shims do under pressure alone: lift, and where contacts change.

import { valves_of, type Page, type ValveLift } from '../data';
import { letter, prefix } from '../words';
import { has_figures, points_of, type Line, type Plot, type Point } from './model';

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

function lines_of(of: string[] | undefined, lift: ValveLift, look: number): Line[] {
  const events: Point[] = lift.events.map((event) => [event.pressure_Pa, lift_at(lift, event.pressure_Pa)]);
  return [
    {
      of,
      name: 'lift at the seat',
      look,
      points: points_of(
        lift.points,
        (p) => p.pressure_Pa,
        (p) => p.seat_lift_m,
      ),
    },
    {
      of,
      name: 'float',
      look,
      dash: 1,
      hidden: true,
      points: points_of(
        lift.points,
        (p) => p.pressure_Pa,
        (p) => p.float_lift_m,
      ),
    },
    ...(of
      ? []
      : [
          {
            name: 'lift, linear plates',
            look,
            dash: 2,
            hidden: true,
            points: points_of(
              lift.points,
              (p) => p.pressure_Pa,
              (p) => p.linear_seat_lift_m,
            ),
          },
        ]),
    {
      of,
      name: 'contacts change',
      look,
      kind: 'points' as const,
      symbol: 'diamond' as const,
      points: events,
      labels: lift.events.map(event_name),
    },
  ].filter(has_figures);
}

export function lift_plots(page: Page): Plot[] {
  const several = page.setups.length > 1;
  const names = [...new Set(page.setups.flatMap((setup) => valves_of(setup.lift).map((lift) => lift.valve)))];
  return names
    .map((valve) => ({
      id: `lift-${valve}`,
      title: `Lift of ${valve}`,
      about: [
        'Lift at the seat against the pressure on the zone under the face shim, without flow. In view at ' +
          'first: up to the largest pressure drop across this valve on the curve.',
        ...page.setups.flatMap((setup) =>
          valves_of(setup.lift)
            .filter((lift) => lift.valve === valve && (lift.end_reason ?? lift.error))
            .map((lift) => `${prefix(setup.name, several)}the curve ends: ${lift.end_reason ?? lift.error}.`),
        ),
      ],
      x: { name: 'pressure', quantity: 'pressure' as const, from: 0, to: used_pressure(page, valve) },
      y: { name: 'lift', quantity: 'length' as const },
      lines: page.setups.flatMap((setup, look) =>
        valves_of(setup.lift)
          .filter((lift) => lift.valve === valve)
          .flatMap((lift) => lines_of(letter(setup.name, several), lift, look)),
      ),
    }))
    .filter((plot) => plot.lines.length > 0);
}
