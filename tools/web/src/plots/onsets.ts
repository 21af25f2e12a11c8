// From which rod speed on a void forms, for each setting of a family.

import { html } from '../dom';
import type { Family, VoidOnset } from '../data';
import { with_unit, type Choice } from '../units';

type Way = 'rebound_m_s' | 'compression_m_s';

export function onset_table(family: Family, units: Choice): HTMLElement {
  const speed = (onset: VoidOnset, way: Way) => html('td', { class: 'figure' },
    onset.error ?? (onset[way] === null ? 'none' : with_unit(onset[way], 'speed', units)));
  return html('table', { class: 'short' },
    html('caption', {}, 'Voids from this rod speed on'),
    html('thead', {}, html('tr', {}, html('th', { scope: 'col' }, 'setting'),
      ...['rebound', 'compression', 'rebound near full extension'].map((title) => html('th', { scope: 'col', class: 'figure' }, title)))),
    html('tbody', {}, ...family.family.map((member) => html('tr', {},
      html('th', { scope: 'row' }, member.setting),
      speed(member.void_onset, 'rebound_m_s'), speed(member.void_onset, 'compression_m_s'),
      speed(member.void_onset_near_extension, 'rebound_m_s')))));
}
