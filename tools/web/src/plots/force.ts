// Force against rod speed: what a dynamometer shows, with a measured run over it.

import type { FamilyPoint, Page } from '../data';
import { letter } from '../words';
import { axis, column } from './columns';
import { has_figures, type Axis, type Line, type Plot } from './model';

// The speeds where a rider feels most stand in view first; the rest is a zoom away.
export const felt_speed = 1; // [m/s]

export function speed_axis(page: Page, rest: Partial<Axis> = {}): Axis {
  const field = page.fields.curve.speed_m_s;
  return axis(field, { name: `${field.words}, compression positive`, ...rest });
}

export function force_line(page: Page, points: FamilyPoint[], look: number, rest: Partial<Line> = {}): Line {
  return column<FamilyPoint>(page.fields.curve, points, 'speed_m_s', 'damping_force_N', look, rest);
}

function force_lines(page: Page): Line[] {
  const several = page.setups.length > 1;
  return page.setups
    .flatMap(({ name, curve }, look) => {
      if (!curve) return [];
      const of = letter(name, several);
      const { fields } = page;
      const lines = [
        force_line(page, curve.points, look, { of }),
        column(fields.curve, curve.points, 'speed_m_s', 'force_N', look, { of, dash: 2, hidden: several }),
      ];
      if (curve.measured)
        lines.push(
          column(fields.measured, curve.measured.points, 'speed_m_s', 'measured_N', look, {
            of,
            name: `measured, ${curve.measured.force} force`,
            kind: 'points',
            symbol: 'emptyRect',
          }),
        );
      return lines;
    })
    .filter(has_figures);
}

const about =
  'Force of one damper on its rod, resisting compression positive. The damping force is the ' +
  'total force less the static force; friction of a reservoir piston counts as damping.';

export function force_plots(page: Page): Plot[] {
  const y = axis(page.fields.curve.force_N, { name: 'force' });
  return [
    {
      id: 'force',
      title: 'Force against rod speed',
      about: [about],
      x: speed_axis(page),
      y,
      lines: force_lines(page),
    },
  ];
}

// The same at the speeds that a rider feels.
export function felt_force_plots(page: Page): Plot[] {
  return force_plots(page).map((plot) => ({
    ...plot,
    id: 'felt-force',
    title: 'Force where it is felt',
    about: [`In view at first: up to ${felt_speed} m/s, where a rider feels most. ${about}`],
    x: speed_axis(page, { from: -felt_speed, to: felt_speed }),
  }));
}
