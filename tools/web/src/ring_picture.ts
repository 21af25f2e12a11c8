// The lift at the seat round the whole ring, at the pressures at which a stack is not round; ports and lands under it.

import type { Context } from './context';
import type { NotRound, Section, SectionState } from './data';
import { html, svg } from './dom';
import { figure, with_unit } from './units';
import { joined } from './words';

const left = 58; // of the figures of lift [px]
const right = 20;
const top = 16;
const plot_height = 84;
const ports_height = 8;
const full = 2 * Math.PI;

// Half a pitch, mirrored and repeated: [angle, lift] round the ring.
export function round_the_ring({ waves, angle_rad, ring_lift_m }: NotRound): [number, number][] {
  const half: [number, number][] = angle_rad.map((angle, i) => [angle, ring_lift_m[i] ?? 0]);
  const pitch = full / waves;
  const mirrored: [number, number][] = half
    .slice(1, -1)
    .reverse()
    .map(([angle, lift]) => [pitch - angle, lift]);
  const points: [number, number][] = [];
  for (let k = 0; k < waves; k += 1)
    points.push(...[...half, ...mirrored].map(([angle, lift]): [number, number] => [k * pitch + angle, lift]));
  points.push([full, half[0][1]]);
  return points;
}

// The open arcs, each from and to an angle; the first is about 0, so that it stands at both ends.
export function open_arcs(waves: number, coverage: number): [number, number][] {
  const pitch = full / waves;
  const arcs: [number, number][] = [];
  for (let k = 0; k <= waves; k += 1)
    arcs.push([
      Math.max(0, (k - coverage / 2) * pitch),
      Math.min(full, (k + coverage / 2) * pitch),
    ]);
  return arcs;
}

export function ring_picture(
  section: Section,
  state: SectionState | null,
  context: Context,
  width: number,
  title: string,
): (SVGElement | HTMLElement)[] {
  const { units } = context;
  const bent = section.states.filter((each) => each.not_round !== null);
  if (bent.length === 0) return [];
  const first = bent[0].not_round!;
  const lines = bent.map((each) => ({ state: each, points: round_the_ring(each.not_round!) }));
  const highest = Math.max(...lines.flatMap(({ points }) => points.map(([, lift]) => lift)), 1e-9);
  const floor = top + plot_height;
  const x = (angle: number) => left + (angle / full) * (width - left - right);
  const y = (lift: number) => floor - (Math.max(lift, 0) / highest) * plot_height;
  const path = (points: [number, number][]) =>
    `M${points.map(([angle, lift]) => `${x(angle).toFixed(1)} ${y(lift).toFixed(1)}`).join('L')}`;
  const level = (lift: number) => `M${left} ${y(lift).toFixed(1)}H${width - right}`;
  const height = floor + ports_height + 22;
  const lift = state?.seat_lift_m ?? null;
  const is_bent = state !== null && state.not_round !== null;
  const pressure = (each: SectionState) => with_unit(each.pressure_Pa, 'pressure', units);
  const others = bent.filter((each) => each !== state).map(pressure);
  const words = [
    is_bent
      ? `Lift at the seat round the ring: strong at ${pressure(state)}, its mean dashed`
      : `Lift at the seat round the ring${lift === null || !state ? '' : `, even at ${pressure(state)} (dashed)`}`,
    others.length > 0 ? `; thin at ${joined(others)}` : '',
    first.over_ports ? '. Under it the ports are light, the lands between them dark.' : '.',
  ].join('');
  return [
    svg(
      'svg',
      { width, height, viewBox: `0 0 ${width} ${height}`, role: 'img', 'aria-label': title, class: 'section ring' },
      svg('path', { class: 'ring-axis', d: `M${left} ${top - 6}V${floor}H${width - right}` }),
      svg('text', { class: 'dimension-text', x: left - 5, y: top + 4, 'text-anchor': 'end' }, figure(highest, 'length', units)),
      svg('text', { class: 'dimension-text', x: left - 5, y: floor, 'text-anchor': 'end' }, '0'),
      ...lines.filter((line) => line.state !== state).map(({ points }) => svg('path', { class: 'ring-lift other', d: path(points) })),
      lift === null ? null : svg('path', { class: 'ring-mean', d: level(lift) }),
      ...lines.filter((line) => line.state === state).map(({ points }) => svg('path', { class: 'ring-lift', d: path(points) })),
      ...(first.over_ports
        ? [
            svg('rect', { class: 'ring-land', x: left, y: floor + 2, width: width - left - right, height: ports_height }),
            ...open_arcs(first.waves, section.ports.coverage).map(([from, to]) =>
              svg('rect', { class: 'port', x: x(from), y: floor + 2, width: x(to) - x(from), height: ports_height }),
            ),
          ]
        : []),
      ...[0, 90, 180, 270, 360].map((degrees) =>
        svg(
          'text',
          { class: 'dimension-text', x: x((degrees / 360) * full), y: height - 4, 'text-anchor': 'middle' },
          `${degrees}°`,
        ),
      ),
    ),
    html('p', { class: 'about' }, words),
  ];
}
