// One curve for each setting of an adjuster, or each temperature of the oil.

import { html } from '../dom';
import type { Family, Page, VoidOnset } from '../data';
import { with_unit } from '../units';
import { prefix } from '../words';
import { force_line, speed_axis } from './force';
import { has_figures, type Plot } from './model';

function onset_table(family: Family): Plot['extra'] {
  return (context) => {
    const speed = (onset: VoidOnset, way: 'rebound_m_s' | 'compression_m_s') =>
      html('td', { class: 'figure' }, onset.error ?? (onset[way] === null ? 'none' : with_unit(onset[way], 'speed', context.units)));
    return html('table', { class: 'short' },
      html('caption', {}, 'Voids from this rod speed on'),
      html('thead', {}, html('tr', {}, ...['setting', 'rebound', 'compression', 'rebound near full extension']
        .map((title, i) => html('th', { scope: 'col', class: i > 0 ? 'figure' : null }, title)))),
      html('tbody', {}, ...family.family.map((member) => html('tr', {},
        html('th', { scope: 'row' }, member.setting),
        speed(member.void_onset, 'rebound_m_s'), speed(member.void_onset, 'compression_m_s'),
        speed(member.void_onset_near_extension, 'rebound_m_s')))));
  };
}

function family_plot(id: string, title: string, about: string[], family: Family, to?: number): Plot {
  return {
    id, title, about: [...about, ...(family.assumption ? [family.assumption] : [])],
    x: { ...speed_axis, from: to === undefined ? undefined : -to, to }, y: { name: 'damping force', quantity: 'force' },
    lines: family.family.map((member, look) => force_line(member.setting, member.points, look)).filter(has_figures),
    extra: onset_table(family),
  };
}

export function adjuster_plots(page: Page): Plot[] {
  return page.setups.flatMap((setup) => setup.families.map((family) => {
    const steps = setup.inspect.adjusters?.find((adjuster) => adjuster.key === family.sweep.key)?.steps ?? 'settings';
    return family_plot(`adjuster-${setup.name}-${family.sweep.name}`,
      `${prefix(setup.name, page.setups.length > 1)}Adjuster ${family.sweep.name}`,
      [`Damping force at ${steps} counted out from fully in; all else as the file has it. In view at first: the low speeds, where a bleed tells.`],
      family, 1);
  }));
}

export function fade_plots(page: Page): Plot[] {
  return page.setups.flatMap((setup) => setup.fade ? [family_plot(`fade-${setup.name}`,
    `${prefix(setup.name, page.setups.length > 1)}Fade with temperature`,
    ['Damping force with the oil cold, warm and hot.'], setup.fade)] : []);
}
