// Who does the work on compression, base valve or mid-valve, and how much margin is left.

import type { CurvePoint, Maybe, Page } from '../data';
import type { Quantity } from '../units';
import { letter } from '../words';
import { has_figures, points_of, type Line, type Plot } from './model';

function lines(page: Page, what: string, read: (point: CurvePoint) => Maybe<number>): Line[] {
  return page.setups
    .flatMap(({ name, curve }, look) =>
      curve
        ? [
            {
              of: letter(name, page.setups.length > 1),
              name: what,
              look,
              points: points_of(
                curve.points.filter((p) => p.speed_m_s > 0),
                (p) => p.speed_m_s,
                read,
              ),
            },
          ]
        : [],
    )
    .filter(has_figures);
}

export function balance_plots(page: Page): Plot[] {
  const x = { name: 'compression speed', quantity: 'speed' as Quantity };
  return [
    {
      id: 'balance-margin',
      title: 'Balance margin',
      about: [
        'Pressure drop of the base valve less that of the mid-valve. Below zero the mid-valve dominates and ' +
          'the rod side falls below the reservoir; in a gas shock that is normal, and the headroom of R counts.',
      ],
      x,
      y: { name: 'balance margin', quantity: 'pressure' },
      levels: [{ name: 'balanced', y: 0 }],
      lines: lines(page, 'balance margin', (p) => p.balance_margin_Pa),
    },
    {
      id: 'share-base',
      title: 'Share of the base valve',
      about: ['How much of the damping on compression the base valve gives; the mid-valve gives the rest.'],
      x,
      y: { name: 'share of the base valve', quantity: 'share', from: 0, to: 1 },
      lines: lines(page, 'share of the base valve', (p) => p.share_base),
    },
  ];
}
