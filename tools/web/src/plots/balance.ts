// Who does the work on compression, base valve or mid-valve, and how much margin is left.

import type { Page } from '../data';
import { letter } from '../words';
import { axis, column } from './columns';
import { has_figures, type Line, type Plot } from './model';

function lines(page: Page, key: 'balance_margin_Pa' | 'share_base'): Line[] {
  return page.setups
    .flatMap(({ name, curve }, look) =>
      curve
        ? [
            column(
              page.fields.curve,
              curve.points.filter((p) => p.speed_m_s > 0),
              'speed_m_s',
              key,
              look,
              { of: letter(name, page.setups.length > 1) },
            ),
          ]
        : [],
    )
    .filter(has_figures);
}

export function balance_plots(page: Page): Plot[] {
  const fields = page.fields.curve;
  const x = axis(fields.speed_m_s, { name: 'compression speed' });
  return [
    {
      id: 'balance-margin',
      title: 'Balance margin',
      about: [
        'Pressure drop of the base valve less that of the mid-valve. Below zero the mid-valve dominates and ' +
          'the rod side falls below the reservoir; in a gas shock that is normal, and the headroom of R counts.',
      ],
      x,
      y: axis(fields.balance_margin_Pa),
      levels: [{ name: 'balanced', y: 0 }],
      lines: lines(page, 'balance_margin_Pa'),
    },
    {
      id: 'share-base',
      title: 'Share of the base valve',
      about: ['How much of the damping on compression the base valve gives; the mid-valve gives the rest.'],
      x,
      y: axis(fields.share_base, { from: 0, to: 1 }),
      lines: lines(page, 'share_base'),
    },
  ];
}
