// How hard the shims work: the largest stress in each stack against the pressure on it.

import { valves_of, type LiftPoint, type Maybe, type Page } from '../data';
import { letter } from '../words';
import { has_figures, points_of, type Line, type Plot } from './model';

export function stress_plots(page: Page): Plot[] {
  const several = page.setups.length > 1;
  return page.setups.flatMap((setup) => {
    const lifts = valves_of(setup.lift);
    const lines = (read: (point: LiftPoint) => Maybe<number> | undefined): Line[] =>
      lifts
        .map((lift, look) => ({ name: lift.valve, look, points: points_of(lift.points, (p) => p.pressure_Pa, read) }))
        .filter(has_figures);
    const drops = setup.curve?.points.flatMap((p) => [p.dp_base_Pa ?? 0, p.dp_piston_Pa ?? 0]) ?? [];
    const most = Math.max(0, ...drops);
    const common = {
      of: letter(setup.name, several),
      x: { name: 'pressure', quantity: 'pressure' as const, from: 0, to: most > 0 ? 1.1 * most : undefined },
    };
    const view = 'In view at first: up to the largest pressure drop across any valve on the curve.';
    return [
      {
        ...common,
        id: `stress-${setup.name}`,
        title: 'Stress in the shims',
        about: [`The largest stress anywhere in a stack against the pressure on its face shim. ${view}`],
        y: { name: 'largest stress', quantity: 'stress' as const },
        lines: lines((p) => p.peak_stress_Pa),
      },
      {
        ...common,
        id: `endurance-${setup.name}`,
        title: 'Life of the shims',
        about: [
          `The same as a share of what the shims bear without end; above 100 % they break in the long run. ${view}`,
        ],
        y: { name: 'share of endurance', quantity: 'share' as const },
        levels: [{ name: 'the end of endless life', y: 1 }],
        lines: lines((p) => p.peak_stress_of_fatigue),
      },
    ];
  });
}
