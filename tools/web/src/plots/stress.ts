// How hard the shims work: the largest stress in each stack against the pressure on it.

import { valves_of, type Page } from '../data';
import { letter } from '../words';
import { axis, column } from './columns';
import { has_figures, type Line, type Plot } from './model';

export function stress_plots(page: Page): Plot[] {
  const several = page.setups.length > 1;
  return page.setups.flatMap((setup) => {
    const lifts = valves_of(setup.lift);
    const fields = page.fields.lift;
    const lines = (key: 'peak_stress_Pa' | 'peak_stress_of_fatigue'): Line[] =>
      lifts
        .map((lift, look) => column(fields, lift.points, 'pressure_Pa', key, look, { name: lift.valve }))
        .filter(has_figures);
    const drops = setup.curve?.points.flatMap((p) => [p.dp_base_Pa ?? 0, p.dp_piston_Pa ?? 0]) ?? [];
    const most = Math.max(0, ...drops);
    const common = {
      of: letter(setup.name, several),
      x: axis(fields.pressure_Pa, { from: 0, to: most > 0 ? 1.1 * most : undefined }),
    };
    const view = 'In view at first: up to the largest pressure drop across any valve on the curve.';
    return [
      {
        ...common,
        id: `stress-${setup.name}`,
        title: 'Stress in the shims',
        about: [`The largest stress anywhere in a stack against the pressure on its face shim. ${view}`],
        y: axis(fields.peak_stress_Pa),
        lines: lines('peak_stress_Pa'),
      },
      {
        ...common,
        id: `endurance-${setup.name}`,
        title: 'Life of the shims',
        about: [
          `The same as a share of what the shims bear without end; above 100 % they break in the long run. ${view}`,
        ],
        y: axis(fields.peak_stress_of_fatigue),
        levels: [{ name: 'the end of endless life', y: 1 }],
        lines: lines('peak_stress_of_fatigue'),
      },
    ];
  });
}
