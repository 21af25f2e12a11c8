// What holds the rider up: springs, gas and reservoir over the travel, with friction's band.

import type { Page, Support, SupportPoint } from '../data';
import { letter } from '../words';
import { has_figures, points_of, type Line, type Plot, type Point } from './model';

const travel = (p: SupportPoint) => p.travel_m;

function sag_line(of: string[] | undefined, support: Support, look: number): Line {
  const sags = [
    ['with the rider', support.sag],
    ['without the rider', support.free_sag],
  ] as const;
  const found = sags.filter(([, sag]) => sag && sag.travel_m !== null);
  return {
    of,
    name: 'sag',
    look,
    kind: 'points',
    symbol: 'diamond',
    points: found.map(([, sag]): Point => [sag?.travel_m ?? 0, sag?.force_N ?? null]),
    labels: found.map(([what]) => `sag ${what}`),
  };
}

function friction_lines(points: SupportPoint[], look: number): Line[] {
  const sum = (p: SupportPoint, sign: number) =>
    p.force_N === null || p.friction_N === null ? null : p.force_N + sign * p.friction_N;
  return [
    { name: 'going in', look, dash: 2, hidden: true, points: points_of(points, travel, (p) => sum(p, 1)) },
    { name: 'coming out', look, dash: 4, hidden: true, points: points_of(points, travel, (p) => sum(p, -1)) },
  ];
}

export function support_plots(page: Page): Plot[] {
  const several = page.setups.length > 1;
  const force: Line[] = [];
  const rate: Line[] = [];
  page.setups.forEach(({ name, support }, look) => {
    if (!support) return;
    const of = letter(name, several);
    const { points } = support;
    force.push({ of, name: 'support', look, points: points_of(points, travel, (p) => p.force_N) });
    if (!several) {
      force.push(
        ...friction_lines(points, look),
        { name: 'springs', look: 1, points: points_of(points, travel, (p) => p.spring_N) },
        { name: 'leg air', look: 2, points: points_of(points, travel, (p) => p.gas_N) },
        { name: 'reservoir', look: 3, points: points_of(points, travel, (p) => p.reservoir_N) },
        { name: 'bump stop', look: 4, points: points_of(points, travel, (p) => p.stop_N) },
      );
    }
    force.push(sag_line(of, support, look));
    rate.push({ of, name: 'rate', look, points: points_of(points, travel, (p) => p.slope_N_m) });
  });
  const x = { name: 'travel', quantity: 'length' as const };
  return [
    {
      id: 'support',
      title: 'Support over the travel',
      about: [
        'Static force of springs, gas and reservoir, all legs together.' +
          (several ? '' : ' Friction lets the unit rest anywhere between the lines going in and coming out.'),
      ],
      x,
      y: { name: 'force', quantity: 'force' as const },
      lines: force.filter(
        (line) => has_figures(line) && (line.kind === 'points' || line.points.some(([, y]) => y !== 0)),
      ),
    },
    {
      id: 'rate',
      title: 'Rate over the travel',
      about: ['Slope of the support.'],
      x,
      y: { name: 'rate', quantity: 'rate' as const },
      lines: rate.filter(has_figures),
    },
  ];
}
