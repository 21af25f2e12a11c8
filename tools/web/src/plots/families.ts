// One curve for each setting of an adjuster, or each temperature of the oil.

import type { Family, Page } from '../data';
import { letter } from '../words';
import { axis } from './columns';
import { felt_speed, force_line, speed_axis } from './force';
import { has_figures, type Plot } from './model';

function family_plot(
  page: Page,
  id: string,
  of: string[] | undefined,
  title: string,
  about: string[],
  family: Family,
  to?: number,
): Plot {
  return {
    id,
    of,
    title,
    about: [...about, ...(family.assumption ? [family.assumption] : [])],
    x: speed_axis(page, { from: to === undefined ? undefined : -to, to }),
    y: axis(page.fields.curve.damping_force_N),
    lines: family.family.map((member, look) => force_line(page, member.points, look, { name: member.setting })).filter(has_figures),
    onsets: family.family.map((member) => ({
      setting: member.setting,
      at: member.void_onset,
      near_extension: member.void_onset_near_extension,
    })),
  };
}

export function adjuster_plots(page: Page): Plot[] {
  return page.setups.flatMap((setup) =>
    setup.families.map((family) => {
      const steps =
        setup.inspect.adjusters?.find((adjuster) => adjuster.key === family.sweep.key)?.steps ?? 'settings';
      return family_plot(
        page,
        `adjuster-${setup.name}-${family.sweep.name}`,
        letter(setup.name, page.setups.length > 1),
        `Adjuster ${family.sweep.name}`,
        [
          `Damping force at ${steps} counted out from fully in; all else as the file has it. In view at first: the low speeds, where a bleed tells.`,
        ],
        family,
        felt_speed,
      );
    }),
  );
}

export function fade_plots(page: Page): Plot[] {
  return page.setups.flatMap((setup) =>
    setup.fade
      ? [
          family_plot(
            page,
            `fade-${setup.name}`,
            letter(setup.name, page.setups.length > 1),
            'Fade with temperature',
            ['Damping force with the oil cold, warm and hot.'],
            setup.fade,
          ),
        ]
      : [],
  );
}

export function wear_plots(page: Page): Plot[] {
  return page.setups.flatMap((setup) =>
    setup.wear
      ? [
          family_plot(
            page,
            `wear-${setup.name}`,
            letter(setup.name, page.setups.length > 1),
            'Wear of ring and seal',
            ['Damping force as the file has it, and with more gap at the piston ring and more friction of the reservoir.'],
            setup.wear,
          ),
        ]
      : [],
  );
}
