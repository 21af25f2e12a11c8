// How hard the shims work: the largest stress in each stack against the pressure on it.

import { valves_of, type Page } from '../data';
import { letter } from '../words';
import { has_figures, points_of, type Plot } from './model';

export function stress_plots(page: Page): Plot[] {
  const several = page.setups.length > 1;
  return page.setups.map((setup) => {
    const drops = setup.curve?.points.flatMap((p) => [p.dp_base_Pa ?? 0, p.dp_piston_Pa ?? 0]) ?? [];
    const most = Math.max(0, ...drops);
    return {
      id: `stress-${setup.name}`,
      of: letter(setup.name, several),
      title: 'Stress in the shims',
      about: [
        'The largest stress anywhere in a stack against the pressure on its face shim. In view at first: up to the largest pressure drop across any valve on the curve.',
      ],
      x: { name: 'pressure', quantity: 'pressure' as const, from: 0, to: most > 0 ? 1.1 * most : undefined },
      y: { name: 'largest stress', quantity: 'stress' as const },
      lines: valves_of(setup.lift)
        .map((lift, look) => ({
          name: lift.valve,
          look,
          points: points_of(
            lift.points,
            (p) => p.pressure_Pa,
            (p) => p.peak_stress_Pa,
          ),
        }))
        .filter(has_figures),
    };
  });
}
