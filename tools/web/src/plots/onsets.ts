// From which rod speed on a void forms, for each setting of a family.

import { html } from '../dom';
import type { Maybe, VoidOnset } from '../data';
import { with_unit, type Choice } from '../units';
import type { Onsets } from './model';

type Way = 'rebound_m_s' | 'compression_m_s';

// A search that broke off has found none up to there; why stands among what is left out.
function told(speed: Maybe<number>, searched_to: Maybe<number>, units: Choice): string {
  if (speed !== null) return with_unit(speed, 'speed', units);
  return searched_to === null ? 'none' : `none up to ${with_unit(searched_to, 'speed', units)}, where the search broke off`;
}

export function onset_table(rows: Onsets[], units: Choice): HTMLElement {
  const speed = (onset: VoidOnset, way: Way) =>
    html(
      'td',
      { class: 'figure' },
      told(onset[way], onset[way === 'rebound_m_s' ? 'rebound_searched_to_m_s' : 'compression_searched_to_m_s'], units),
    );
  return html(
    'table',
    { class: 'short' },
    html('caption', {}, 'Voids from this rod speed on'),
    html(
      'thead',
      {},
      html(
        'tr',
        {},
        html('th', { scope: 'col' }, 'setting'),
        ...['rebound', 'compression', 'rebound near full extension'].map((title) =>
          html('th', { scope: 'col', class: 'figure' }, title),
        ),
      ),
    ),
    html(
      'tbody',
      {},
      ...rows.map((row) =>
        html(
          'tr',
          {},
          html('th', { scope: 'row' }, row.setting),
          speed(row.at, 'rebound_m_s'),
          speed(row.at, 'compression_m_s'),
          speed(row.near_extension, 'rebound_m_s'),
        ),
      ),
    ),
  );
}
