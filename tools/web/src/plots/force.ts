// Force against rod speed: what a dynamometer shows, with a measured run over it.

import type { CurvePoint, Page } from '../data';
import { letter } from '../words';
import { has_figures, points_of, type Line, type Plot } from './model';

export const speed_axis = { name: 'rod speed, compression positive', quantity: 'speed' as const };

export function force_line(name: string, points: CurvePoint[], look: number, of?: string[]): Line {
  return {
    of,
    name,
    look,
    points: points_of(
      points,
      (p) => p.speed_m_s,
      (p) => p.damping_force_N,
    ),
  };
}

export function force_plots(page: Page): Plot[] {
  const several = page.setups.length > 1;
  const lines: Line[] = [];
  page.setups.forEach((setup, index) => {
    const { curve } = setup;
    if (!curve) return;
    const of = letter(setup.name, several);
    lines.push(force_line('damping force', curve.points, index, of));
    lines.push({
      of,
      name: 'total force',
      look: index,
      dash: 2,
      hidden: several,
      points: points_of(
        curve.points,
        (p) => p.speed_m_s,
        (p) => p.force_N,
      ),
    });
    if (curve.measured) {
      lines.push({
        of,
        name: `measured, ${curve.measured.force} force`,
        look: index,
        kind: 'points',
        symbol: 'emptyRect',
        points: points_of(
          curve.measured.points,
          (p) => p.speed_m_s,
          (p) => p.measured_N,
        ),
      });
    }
  });
  return [
    {
      id: 'force',
      title: 'Force against rod speed',
      about: [
        'Force of one damper on its rod, resisting compression positive. The damping force is the ' +
          'total force less the static force; friction of a reservoir piston counts as damping.',
      ],
      x: speed_axis,
      y: { name: 'force', quantity: 'force' },
      lines: lines.filter(has_figures),
    },
  ];
}
