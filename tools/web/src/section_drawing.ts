// The half-section of a valve: the axis at the left, the piston below, the face shim on it. One scale
// along and across; lifts alone may be drawn larger, the land and a float's gap with them.

import type { Context } from './context';
import type { Section, SectionState } from './data';
import { new_id, svg } from './dom';
import { spread } from './layout';
import {
  axis_x,
  diameter,
  marks_of,
  outline,
  pile,
  piston_depth,
  post_radius,
  run_number,
  run_size,
  runs,
  tallest,
  widest,
  type Frame,
  type Outline,
} from './section_shape';
import { figure, with_unit, type Choice } from './units';

function dimension(x_from: number, x_to: number, y: number, text: string, top: number): SVGElement[] {
  return [
    svg('path', {
      class: 'dimension',
      d: `M${x_to} ${top}V${y + 4}M${x_from} ${y}H${x_to}M${x_to - 6} ${y - 3}L${x_to} ${y}L${x_to - 6} ${y + 3}`,
    }),
    svg('text', { class: 'dimension-text', x: x_to + 5, y: y + 4 }, text),
  ];
}

function upright(x: number, y_low: number, y_high: number): SVGElement {
  return svg('path', {
    class: 'dimension',
    d: `M${x} ${y_low}V${y_high}M${x - 3} ${y_low - 5}L${x} ${y_low}L${x + 3} ${y_low - 5}M${x - 3} ${y_high + 5}L${x} ${y_high}L${x + 3} ${y_high + 5}`,
  });
}

interface ShimLabel {
  x: number;
  y: number;
  number?: string; // of the shims it names
  text: string;
}

function shim_labels(section: Section, outlines: Outline[], x: (r: number) => number, units: Choice): ShimLabel[] {
  return runs(section).map((run) => ({
    x: x(section.shims[run.first].outer_radius_m),
    y: (outlines[run.first].edge + outlines[run.last].edge) / 2,
    number: run_number(run),
    text: run_size(section, run, units),
  }));
}

export function section_drawing(
  section: Section,
  state: SectionState | null,
  frame: Frame,
  context: Context,
  width: number,
  title: string,
): SVGSVGElement {
  const { units } = context;
  const stack = pile(section, frame.scale);
  const stop_thickness = 22;
  const above = tallest(section, stack, frame.larger) * frame.scale + stop_thickness + 14;
  // Words need their room as well.
  const words = runs(section).length + (section.float ? 2 : 1) + (section.disc ? 1 : 0) + 1;
  const hub = Math.ceil(Math.max(above, 16 * words - piston_depth)); // y of the hub's face
  const x = (radius: number) => axis_x + radius * frame.scale;
  const y = (height: number) => hub - height * frame.scale;
  const right = x(widest(section)) + 8;
  const floor = hub + piston_depth;
  const hatch = new_id('metal');
  const { zone, seat, float } = section;

  const marks = marks_of(section);
  const height = floor + 14 + marks.length * 17 + 8;

  const land = y(frame.larger * seat.height_m);
  const outlines = section.shims.map((_, k) => outline(section, stack, state, k, frame, x, y));
  const raised = frame.larger * (state?.float_lift_m ?? 0);
  const top = y(stack.height + raised);
  const post = x(post_radius(section));
  const labels: ShimLabel[] = []; // from the top down, in the order of the stack
  const over: SVGElement[] = [];
  const disc = () => {
    if (!section.disc) return;
    over.push(
      svg('rect', {
        class: 'shim',
        x: post,
        y: top,
        width: x(section.disc.radius_m) - post,
        height: 2.5e-3 * frame.scale,
      }),
    );
    labels.push({
      x: x(section.disc.radius_m),
      y: top + 1.25e-3 * frame.scale,
      text: `disc ${diameter(section.disc.radius_m, units)}`,
    });
  };
  if (section.clamped && section.clamp_radius_m !== null) {
    over.push(
      svg('rect', {
        class: 'cut',
        fill: `url(#${hatch})`,
        x: axis_x,
        y: top - stop_thickness,
        width: x(section.clamp_radius_m) - axis_x,
        height: stop_thickness,
      }),
    );
    labels.push({
      x: x(section.clamp_radius_m),
      y: top - stop_thickness / 2,
      text: `clamp ${diameter(section.clamp_radius_m, units)}`,
    });
  }
  if (float) {
    const stop = y(stack.height + frame.larger * float.travel_m);
    const reach = x(float.stop_radius_m ?? section.inner_radius_m * 1.3);
    over.push(
      svg('rect', {
        class: 'cut',
        fill: `url(#${hatch})`,
        x: axis_x,
        y: stop - stop_thickness,
        width: reach - axis_x,
        height: stop_thickness,
      }),
    );
    const left = float.travel_m - (state?.float_lift_m ?? 0);
    if (float.spring_radius_m !== null && top - stop > 4) {
      const s = x(float.spring_radius_m) - 6;
      const turns = 6;
      over.push(
        svg('path', {
          class: 'spring',
          d: `M${[...Array(turns + 1).keys()].map((i) => `${s + (i % 2 ? 5 : -5)} ${top - ((top - stop) * i) / turns}`).join('L')}`,
        }),
      );
    }
    if (top - stop > 14) over.push(upright(reach + 10, top, stop));
    labels.push({
      x: reach,
      y: stop - stop_thickness / 2,
      text: `stop ${float.stop_radius_m === null ? '' : diameter(float.stop_radius_m, units)}`,
    });
    labels.push({
      x: reach + 10,
      y: (top + stop) / 2,
      text: left > 1e-7 ? `gap ${with_unit(left, 'length', units)}` : 'on the stop',
    });
  }
  disc();
  labels.push(...shim_labels(section, outlines, x, units).reverse());
  const post_end = Math.max((float ? y(stack.height + frame.larger * float.travel_m) : top) - stop_thickness - 8, 2);
  const seat_x = x((seat.inner_radius_m + seat.outer_radius_m) / 2);
  const seat_lift = state?.seat_lift_m ?? null;
  const face = seat_lift === null ? land : y(frame.larger * (seat.height_m + seat_lift));
  labels.push({
    x: x(seat.outer_radius_m),
    y: Math.max(land, hub - 2) + 6,
    text: seat.height_m > 0 ? `land ${figure(seat.height_m, 'length', units)} high` : 'land',
  });
  const column = right + 18;
  const rows = spread(
    labels.map((label) => label.y),
    16,
    10,
    floor - 4,
  );

  return svg(
    'svg',
    { width, height, viewBox: `0 0 ${width} ${height}`, role: 'img', 'aria-label': title, class: 'section' },
    svg(
      'defs',
      {},
      svg(
        'pattern',
        { id: hatch, width: 6, height: 6, patternUnits: 'userSpaceOnUse', patternTransform: 'rotate(45)' },
        svg('rect', { width: 6, height: 6, class: 'metal-fill' }),
        svg('line', { x1: 0, y1: 0, x2: 0, y2: 6, class: 'hatch-line' }),
      ),
    ),
    // The piston: hub, port, land and rim.
    svg('rect', {
      class: 'cut',
      fill: `url(#${hatch})`,
      x: axis_x,
      y: hub,
      width: x(zone.inner_radius_m) - axis_x,
      height: piston_depth,
    }),
    svg('rect', {
      class: 'port',
      x: x(zone.inner_radius_m),
      y: hub,
      width: x(zone.outer_radius_m) - x(zone.inner_radius_m),
      height: piston_depth,
    }),
    svg('path', {
      class: 'cut',
      fill: `url(#${hatch})`,
      d: `M${x(zone.outer_radius_m)} ${floor}V${hub}H${x(seat.inner_radius_m)}V${land}H${x(seat.outer_radius_m)}V${hub + 10}H${right}V${floor}Z`,
    }),
    svg('path', {
      class: 'oil-way',
      d: `M${x((zone.inner_radius_m + zone.outer_radius_m) / 2)} ${floor - 8}v-26m-5 8l5 -8l5 8`,
    }),
    svg('path', {
      class: 'break',
      d: `M${axis_x} ${floor}${[...Array(Math.ceil((right - axis_x) / 12)).keys()].map((i) => `L${Math.min(axis_x + 12 * (i + 1), right)} ${floor + (i % 2 ? 0 : 4)}`).join('')}`,
    }),
    svg('rect', { class: 'post', x: axis_x, y: post_end, width: Math.max(post - axis_x, 0), height: hub - post_end }),
    ...outlines.map((shape, k) =>
      svg('path', { class: section.shims[k].spacer ? 'shim spacer' : k % 2 ? 'shim even' : 'shim', d: shape.path }),
    ),
    state?.not_round
      ? svg('path', { class: 'shim-last', d: outline(section, stack, state, 0, frame, x, y, true).path })
      : null,
    ...over,
    seat_lift !== null && land - face > 16 ? upright(seat_x, land, face) : null,
    svg('line', { class: 'axis', x1: axis_x, x2: axis_x, y1: 2, y2: height - 4 }),
    ...labels.flatMap((label, i) => [
      svg('path', { class: 'leader', d: `M${label.x + 2} ${label.y}H${right}L${column - 4} ${rows[i]}` }),
      svg(
        'text',
        { x: column, y: rows[i] + 4 },
        label.number ? svg('tspan', { class: 'strong' }, `${label.number}\u2002`) : null,
        label.text,
      ),
    ]),
    ...marks.flatMap(([radius, what], i) =>
      dimension(
        axis_x,
        x(radius),
        floor + 20 + 17 * (marks.length - 1 - i),
        `${diameter(radius, units)}  ${what}`,
        hub + (radius >= seat.inner_radius_m ? 12 : 2),
      ),
    ),
  );
}
