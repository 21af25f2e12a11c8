// Beside the oil path: the scale of pressure, and the figures that are drawn.

import type { Context } from './context';
import type { CurvePoint, Unit } from './data';
import { html, new_id, svg } from './dom';
import { flows, pressure } from './oil_path';
import { share_of, type Scales } from './oil_path_drawing';
import { cividis_anchors } from './theme';
import { figure, with_unit } from './units';

export function legend(scales: Scales, context: Context): HTMLElement {
  const gradient = new_id('scale');
  const width = 300;
  const ticks = [0, 0.04, 0.16, 0.36, 0.64, 1];
  // From empty space to the largest pressure; the ticks lie evenly because the scale is a square root.
  return html(
    'figure',
    { class: 'scale' },
    svg(
      'svg',
      {
        width: width + 60,
        height: 44,
        viewBox: `-30 0 ${width + 60} 44`,
        role: 'img',
        'aria-label': 'Scale of pressure',
      },
      svg(
        'defs',
        {},
        svg(
          'linearGradient',
          { id: gradient },
          ...cividis_anchors.map((colour, i) =>
            svg('stop', { offset: i / (cividis_anchors.length - 1), 'stop-color': colour }),
          ),
        ),
      ),
      svg('rect', { x: 0, y: 4, width, height: 16, fill: `url(#${gradient})`, class: 'outlined' }),
      ...ticks.flatMap((share) => {
        const p = share * scales.most_pressure;
        const x = share_of(p, scales) * width;
        return [
          svg('line', { x1: x, x2: x, y1: 20, y2: 25, class: 'tick' }),
          svg('text', { x, y: 38, 'text-anchor': 'middle' }, figure(p, 'gauge', context.units, 3)),
        ];
      }),
    ),
    html(
      'figcaption',
      {},
      `${context.units.pressure} gauge, square-root scale; hatched: the chamber holds a void. Colours: cividis.`,
    ),
  );
}

export function figures(
  columns: { head: string; unit: Unit; point: CurvePoint }[],
  caption: string,
  context: Context,
): HTMLElement {
  const { units } = context;
  const words = context.page.fields.curve;
  const rows: [string, (p: CurvePoint, unit: Unit) => string][] = [
    [words.p_C_Pa.words, (p) => with_unit(pressure(p, 'C'), 'gauge', units)],
    [words.p_R_Pa.words, (p) => with_unit(pressure(p, 'R'), 'gauge', units)],
    [words.p_S_Pa.words, (p) => with_unit(pressure(p, 'S'), 'gauge', units)],
    [words.flow_base_m3_s.words, (p, unit) => with_unit(flows(unit, p)[0].volume_m3_s, 'flow', units)],
    [words.flow_piston_m3_s.words, (p, unit) => with_unit(flows(unit, p)[1].volume_m3_s, 'flow', units)],
    [
      'void',
      (p) => (p.cavitated ? `in ${p.cavitated}, grows ${with_unit(p.void_growth_m3_s, 'flow', units)}` : 'none'),
    ],
    [words.damping_force_N.words, (p) => with_unit(p.damping_force_N, 'force', units)],
  ];
  return html(
    'table',
    { class: 'short' },
    html('caption', {}, caption),
    html(
      'thead',
      {},
      html(
        'tr',
        {},
        html('th', { scope: 'col' }, 'what'),
        ...columns.map(({ head }) => html('th', { scope: 'col', class: 'figure' }, head)),
      ),
    ),
    html(
      'tbody',
      {},
      ...rows.map(([name, read]) =>
        html(
          'tr',
          {},
          html('th', { scope: 'row' }, name),
          ...columns.map(({ unit, point }) => html('td', { class: 'figure' }, point.error ?? read(point, unit))),
        ),
      ),
    ),
  );
}
