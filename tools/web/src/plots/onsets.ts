// From which rod speed on a void forms, for each setting of a family.

import { html } from '../dom';
import type { VoidOnset } from '../data';
import { with_unit, type Choice } from '../units';
import type { Onsets } from './model';

type Way = 'rebound_m_s' | 'compression_m_s';

export function onset_table(rows: Onsets[], units: Choice): HTMLElement {
  const speed = (onset: VoidOnset, way: Way) =>
    html(
      'td',
      { class: 'figure' },
      onset.error ?? (onset[way] === null ? 'none' : with_unit(onset[way], 'speed', units)),
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
