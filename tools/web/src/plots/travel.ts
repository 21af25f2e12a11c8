// From which rod speed a chamber runs empty, over the travel.

import type { BalanceMap, Maybe, Page } from '../data';
import { letter } from '../words';
import { has_figures, points_of, type Line, type Plot } from './model';

type Onset = BalanceMap['map']['void_onset'][number];

export function travel_plots(page: Page): Plot[] {
  return page.setups.flatMap((setup) => {
    const { map } = setup;
    if (!map) return [];
    const onsets = map.map.void_onset;
    const line = (name: string, look: number, read: (at: Onset) => Maybe<number>): Line => ({
      name,
      look,
      points: points_of(onsets, (at) => at.travel_m, read),
    });
    const end = (way: string, look: number, read: (at: Onset) => Maybe<number>): Line => ({
      ...line(`search on ${way} broke off`, look, read),
      kind: 'points',
    });
    const errors = onsets.flatMap(({ error }) => (error === null ? [] : [`Broke off: ${error}.`]));
    return [
      {
        id: `travel-${setup.name}`,
        of: letter(setup.name, page.setups.length > 1),
        title: 'Where chambers run empty',
        about: [
          'Lowest rod speed that brings a void, against travel; where there is neither line nor point: none up to the top speed. ' +
            'Where a search broke off there is none up to that speed, and nothing is known beyond.',
          ...errors,
          ...map.sentences,
        ],
        x: { name: 'travel from full extension', quantity: 'length' },
        y: { name: 'rod speed', quantity: 'speed', from: 0 },
        lines: [
          line('voids on rebound', 0, (at) => at.rebound_m_s),
          line('voids on compression', 1, (at) => at.compression_m_s),
          end('rebound', 2, (at) => at.rebound_searched_to_m_s),
          end('compression', 3, (at) => at.compression_searched_to_m_s),
        ].filter(has_figures),
      },
    ];
  });
}
