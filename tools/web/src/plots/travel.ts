// From which rod speed a chamber runs empty, over the travel.

import type { BalanceMap, Maybe, Page } from '../data';
import { letter } from '../words';
import { has_figures, points_of, type Plot } from './model';

type Onset = BalanceMap['map']['void_onset'][number];

export function travel_plots(page: Page): Plot[] {
  return page.setups.flatMap((setup) => {
    const { map } = setup;
    if (!map) return [];
    const line = (name: string, look: number, read: (at: Onset) => Maybe<number>) => ({
      name,
      look,
      points: points_of(map.map.void_onset, (at) => at.travel_m, read),
    });
    return [
      {
        id: `travel-${setup.name}`,
        of: letter(setup.name, page.setups.length > 1),
        title: 'Where chambers run empty',
        about: ['Lowest rod speed that brings a void, against travel; no line: none up to the top speed.', ...map.sentences],
        x: { name: 'travel from full extension', quantity: 'length' },
        y: { name: 'rod speed', quantity: 'speed', from: 0 },
        lines: [
          line('voids on rebound', 0, (at) => at.rebound_m_s),
          line('voids on compression', 1, (at) => at.compression_m_s),
        ].filter(has_figures),
      },
    ];
  });
}
