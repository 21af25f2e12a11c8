// The shape of a valve's half-section before anything is drawn: scale, pile of shims, outlines, names.

import type { NotRound, Section, SectionState } from './data';
import { figure, thickness, type Choice } from './units';

export interface Frame {
  scale: number; // [px/m]
  larger: number; // how much lifts are exaggerated
}

export const axis_x = 16;
export const piston_depth = 54; // drawn as far as it is of use [px]
const least_shim = 2; // a shim thinner than this on the screen would vanish [px]

export function widest(section: Section): number {
  return Math.max(
    section.seat.outer_radius_m,
    section.zone.outer_radius_m,
    section.disc?.radius_m ?? 0,
    ...section.shims.map((shim) => shim.outer_radius_m),
  );
}

// As large as leaves room for the words to the right of the drawing.
export function scale_for(section: Section, units: Choice, width: number): number {
  const letter = 6.8; // of the drawing's letters [px]
  const words = [
    'on the stop',
    ...runs(section).map((run) => `${run_number(run)}  ${run_size(section, run, units)}`),
  ];
  const column = Math.max(...words.map((text) => text.length)) * letter;
  const beside = (width - axis_x - 28 - column) / widest(section);
  const below = marks_of(section).map(
    ([radius, what]) => (width - axis_x - 8 - letter * `${diameter(radius, units)}  ${what}`.length) / radius,
  );
  return Math.max(Math.min(beside, ...below), 1000);
}

function largest_lift(section: Section): number {
  const lifts = section.states.flatMap((state) => [
    state.seat_lift_m ?? 0,
    ...[...state.shims, ...(state.not_round?.last_shims ?? [])].flatMap((shim) =>
      shim ? shim.lift_m.map((lift) => lift ?? 0) : [],
    ),
  ]);
  return Math.max(section.float?.travel_m ?? 0, section.seat.height_m, ...lifts);
}

// The highest that anything reaches in any state, so that the drawing keeps its size [m].
export function tallest(section: Section, stack: Pile, larger: number): number {
  const edges = section.states.flatMap((state) =>
    section.shims.map((_, k) => {
      const last = state.not_round?.last_shims[k]?.lift_m ?? [];
      const lifts = [...(state.shims[k]?.lift_m ?? []), ...last].map((lift) => lift ?? 0);
      return stack.bottoms[k] + stack.thickness[k] + larger * Math.max(0, ...lifts);
    }),
  );
  return Math.max(stack.height + larger * (section.float?.travel_m ?? 0), ...edges);
}

// As large as shows well: a round factor that lets the largest lift fill a sixth of the radius.
export function automatic(section: Section): number {
  const largest = largest_lift(section);
  if (largest <= 0) return 1;
  const wanted = widest(section) / 6 / largest;
  return [20, 10, 5, 2].find((factor) => factor <= wanted) ?? 1;
}

interface Pile {
  bottoms: number[]; // of each shim at rest, above the hub [m]
  thickness: number[]; // as drawn [m]
  height: number;
}

export function pile(section: Section, scale: number): Pile {
  const bottoms: number[] = [];
  const thickness: number[] = [];
  let height = 0;
  for (const shim of section.shims) {
    bottoms.push(height);
    const drawn = Math.max(shim.thickness_m, least_shim / scale);
    thickness.push(drawn);
    height += drawn;
  }
  if (section.disc) height += 2.5e-3;
  return { bottoms, thickness, height };
}

export interface Outline {
  path: string;
  edge: number; // height of the outer edge's middle [px]
}

// The shape of shim k in a state, half a pitch on where `last`; a spacer, or a shim without a state, is flat.
export function outline(
  section: Section,
  stack: Pile,
  state: SectionState | null,
  k: number,
  frame: Frame,
  x: (r: number) => number,
  y: (z: number) => number,
  last = false,
): Outline {
  const shim = section.shims[k];
  const bent = (last ? state?.not_round?.last_shims : state?.shims)?.[k] ?? null;
  const raised = state?.float_lift_m ?? 0;
  const bottom = stack.bottoms[k];
  const top = bottom + stack.thickness[k];
  const points: [number, number][] = [];
  if (bent)
    bent.radius_m.forEach((r, i) => {
      const lift = bent.lift_m[i];
      if (lift !== null) points.push([r, lift]);
    });
  if (points.length < 2)
    points.splice(0, points.length, [section.inner_radius_m, raised], [shim.outer_radius_m, raised]);
  const inner = post_radius(section);
  // The clamped part, between post and where it bends.
  if (points[0][0] > inner + 1e-6) points.unshift([inner, points[0][1]]);
  const at = (z: number) => points.map(([r, lift]) => `${x(r).toFixed(2)} ${y(z + frame.larger * lift).toFixed(2)}`);
  const at_edge = points[points.length - 1][1];
  return {
    path: `M${at(bottom).join('L')}L${at(top).reverse().join('L')}Z`,
    edge: y((bottom + top) / 2 + frame.larger * at_edge),
  };
}

// Where the shims' bore is not in the file, the data ends at the clamp or stop, and the post is only drawn.
export function post_radius(section: Section): number {
  const held = section.clamped ? section.clamp_radius_m : (section.float?.stop_radius_m ?? null);
  const inner = section.inner_radius_m;
  return held !== null && inner > held - 1e-6 ? 0.6 * inner : inner;
}

export function diameter(radius: number, units: Choice): string {
  return `Ø ${figure(2 * radius, 'length', units)}`;
}

// Like shims that follow each other, by their places in the list.
export interface Run {
  first: number;
  last: number;
}

export function runs(section: Section): Run[] {
  const { shims } = section;
  const found: Run[] = [];
  shims.forEach((shim, k) => {
    const run = found[found.length - 1];
    const like =
      run &&
      shims[run.first].outer_radius_m === shim.outer_radius_m &&
      shims[run.first].thickness_m === shim.thickness_m &&
      shims[run.first].spacer === shim.spacer;
    if (like) run.last = k;
    else found.push({ first: k, last: k });
  });
  return found;
}

export function run_number({ first, last }: Run): string {
  return first === last ? `${first + 1}` : `${first + 1}–${last + 1}`;
}

export function run_size(section: Section, { first }: Run, units: Choice): string {
  const shim = section.shims[first];
  return `${diameter(shim.outer_radius_m, units)} × ${thickness(shim.thickness_m, units)}${shim.spacer ? ' spacer' : ''}`;
}

// Radii to mark below; the same radius once.
export function marks_of({ zone, seat }: Section): [number, string][] {
  const marks: [number, string][] = [];
  const mark = (radius: number, what: string) => {
    const same = marks.find(([r]) => Math.abs(r - radius) < 1e-6);
    if (same) same[1] += `, ${what}`;
    else marks.push([radius, what]);
  };
  mark(zone.inner_radius_m, 'port in');
  mark(zone.outer_radius_m, 'port out');
  mark(seat.inner_radius_m, 'seat in');
  mark(seat.outer_radius_m, 'seat out');
  return marks.sort((a, b) => a[0] - b[0]);
}

// The two places where a stack that is not round is told: full and dashed in a drawing.
export function places(not_round: NotRound): [string, string] {
  return not_round.over_ports ? ['at mid-port', 'at mid-land'] : ['at the crests', 'in the troughs'];
}

export function scale_words(units: Choice): string {
  return units.length === 'in' ? 'Sizes in inches.' : 'Sizes in millimetres.';
}
