// The unit as a long section, shaded by pressure, with the oil's way drawn in. The rod leaves upwards.

import type { Context } from './context';
import type { CurvePoint, Unit } from './data';
import { new_id, svg } from './dom';
import { spread, wrapped } from './layout';
import { flows, pressure, type Chamber, type Flow } from './oil_path';
import { arrow, box, oil, places, reservoir, valve, wall, type Label, type Places } from './oil_path_parts';
import { pressure_colour } from './theme';
import { with_unit } from './units';

export interface Scales {
  most_pressure: number; // of all set-ups and speeds, absolute [Pa]
  most_flow: number; // [m³/s]
}

// The square root keeps the few bar of a reservoir apart beside the many of the rod side.
export function share_of(pressure_Pa: number, scales: Scales): number {
  return Math.sqrt(Math.max(pressure_Pa, 0) / scales.most_pressure);
}

function text_column(labels: Label[], p: Places): SVGElement[] {
  const x = p.middle + Math.max(p.bore, p.outer) + wall + 20;
  const sorted = [...labels]
    .sort((a, b) => a.y - b.y)
    .map((label) => ({
      ...label,
      head: label.lines[0],
      lines: [label.lines[0], ...wrapped(label.lines[1] ?? '', p.width - x)].filter((line) => line !== ''),
    }));
  const most_lines = Math.max(...sorted.map((label) => label.lines.length));
  const places = spread(
    sorted.map((label) => label.y),
    15 * most_lines + 6,
    16,
    p.height - 15 * most_lines + 6,
  );
  return sorted.flatMap((label, i) => [
    svg('path', { class: 'leader', d: `M${label.x} ${label.y}L${x - 14} ${places[i]}H${x - 4}` }),
    svg('circle', { class: 'leader-end', cx: label.x, cy: label.y, r: 2.5 }),
    svg(
      'text',
      { x, y: places[i] + (label.lines.length > 1 ? -2 : 4) },
      ...label.lines.map((line, n) =>
        svg('tspan', { x, dy: n > 0 ? 15 : null, class: line === label.head ? 'strong' : 'quiet' }, line),
      ),
    ),
  ]);
}

function flow_arrow(p: Places, flow: Flow, scales: Scales): SVGElement {
  const top = flow.through === 'piston' ? p.piston : p.base;
  const bottom = flow.through === 'piston' ? p.C : Math.max(p.S, p.base + 1);
  const down = flow.from === 'R' || flow.to === 'S';
  const no_valve = top >= bottom - 2;
  const inner = flow.through === 'piston' ? p.rod : 0.35 * p.bore;
  // Compression on the left, rebound and refill on the right.
  const side = flow.valve === null || no_valve ? 0 : flow.valve.endsWith('.compression') ? -1 : 1;
  const x = p.middle + (side * (inner + p.bore)) / 2;
  const most = Math.min(16, 0.6 * (p.bore - p.rod));
  const width = Math.max(2, (most * flow.volume_m3_s) / scales.most_flow);
  const above = 22;
  const below =
    flow.through === 'piston'
      ? above
      : Math.min(above, p.lengths.around ? p.end - p.S - wall - 3 : p.S_end - p.S - 3);
  return down ? arrow(x, top - above, bottom + below, width) : arrow(x, bottom + below, top - above, width);
}

function way_of(flow: Flow, p: Places): string {
  if (flow.valve) return `through ${flow.valve}`;
  return flow.through === 'base' && p.lengths.base === 0 ? 'no valve between' : 'through bleeds and leaks';
}

export function unit_drawing(
  unit: Unit,
  travel: number,
  point: CurvePoint,
  scales: Scales,
  context: Context,
  width: number,
  title: string,
): SVGSVGElement {
  const { units } = context;
  const p = places(unit, travel, width, drawing_height(context));
  const hatch = new_id('hatch');
  const labels: Label[] = [];
  const fill = (chamber: Chamber) => {
    const value = pressure(point, chamber);
    return value === null ? 'none' : pressure_colour(share_of(value, scales));
  };
  const hatched = (chamber: Chamber) => (point.cavitated === chamber ? hatch : null);
  const label = (chamber: Chamber, words: string, x: number, y: number) => {
    const lines = [`${chamber}  ${with_unit(pressure(point, chamber), 'gauge', units)}`, words];
    if (point.cavitated === chamber) lines[1] = `VOID, grows ${with_unit(point.void_growth_m3_s, 'flow', units)}`;
    labels.push({ x, y, lines });
  };
  const speed = point.speed_m_s;
  labels.push({
    x: p.middle + p.rod,
    y: (p.rod_end + p.head) / 2 - 6,
    lines: [`rod ${speed < 0 ? 'out' : 'in'}, ${with_unit(Math.abs(speed), 'speed', units)}`],
  });
  const inner = p.middle + p.bore - 4;
  label('R', 'rod side', inner, (p.R + p.piston) / 2);
  label('C', 'behind the piston', inner, (p.C + p.base) / 2);
  const edge = p.middle + Math.max(p.outer, 0) - 4;
  label('S', 'reservoir', edge, p.lengths.around ? (p.C + p.S) / 2 + 12 : (p.S + p.S_end) / 2);
  const moving = flows(unit, point);
  const works = point.error === null && point.p_C_Pa !== null;
  for (const flow of moving) {
    const y = flow.through === 'piston' ? (p.piston + p.C) / 2 : p.base < p.S - 2 ? (p.base + p.S) / 2 : p.S;
    labels.push({
      x: p.middle + p.bore,
      y,
      lines: [with_unit(works ? flow.volume_m3_s : null, 'flow', units), way_of(flow, p)],
    });
  }
  const opens = (name: string) => works && moving.some((flow) => flow.valve === name && flow.volume_m3_s > 0);
  const has = (name: string) => unit.places.includes(name);
  // On compression the piston's shims lift upwards, the base's downwards; back they do the opposite.
  const faces = (place: 'piston' | 'base', top: number, bottom: number, around: number) => {
    const piston = place === 'piston';
    const back = piston ? 'piston.rebound' : 'base.refill';
    const compression = `${place}.compression`;
    const common = { top, bottom, inner: around };
    return [
      box(p.middle - p.bore, top, p.middle + p.bore, bottom, { class: 'metal' }),
      ...(has(compression)
        ? valve(p, { ...common, side: -1, opens: piston ? -1 : 1, open: opens(compression), fill: fill('C') })
        : []),
      ...(has(back)
        ? valve(p, { ...common, side: 1, opens: piston ? 1 : -1, open: opens(back), fill: fill(piston ? 'R' : 'S') })
        : []),
    ];
  };
  const rod_arrow_x = p.middle - p.rod - 12;
  const [rod_from, rod_to] = speed < 0 ? [p.head - 6, p.rod_end + 8] : [p.rod_end + 8, p.head - 6];
  return svg(
    'svg',
    { width, height: p.height, viewBox: `0 0 ${width} ${p.height}`, role: 'img', 'aria-label': title, class: 'unit' },
    svg(
      'defs',
      {},
      svg(
        'pattern',
        { id: hatch, width: 8, height: 8, patternUnits: 'userSpaceOnUse', patternTransform: 'rotate(45)' },
        svg('rect', { width: 4, height: 8, fill: '#ffffff' }),
      ),
    ),
    ...reservoir(p, unit, fill('S'), hatched('S'), labels),
    ...(p.lengths.around
      ? []
      : [box(p.middle - p.bore - wall, p.head, p.middle + p.bore + wall, p.S, { class: 'metal' })]),
    box(p.middle - p.bore, p.R, p.middle + p.bore, p.base, { class: 'gas' }),
    ...oil(p.middle - p.bore, p.R, p.middle + p.bore, p.piston, fill('R'), hatched('R')),
    ...oil(p.middle - p.bore, p.C, p.middle + p.bore, p.base, fill('C'), hatched('C')),
    box(p.middle - p.rod, p.rod_end, p.middle + p.rod, p.piston + 1, { class: 'rod' }),
    ...faces('piston', p.piston, p.C, p.rod),
    ...(p.lengths.base > 0 ? faces('base', p.base, p.S - (p.lengths.around ? 4 : 0), 0.35 * p.bore) : []),
    ...(works
      ? moving
          .filter(
            (flow) =>
              flow.volume_m3_s > 0 && (flow.valve !== null || (p.lengths.base === 0 && flow.through === 'base')),
          )
          .map((flow) => flow_arrow(p, flow, scales))
      : []),
    arrow(rod_arrow_x, rod_from, rod_to, 3),
    ...text_column(labels, p),
  );
}

export function drawing_height(context: Context): number {
  return context.printing ? 430 : 580;
}

// How much larger across is drawn than along, to be said beside the drawing.
export function across_factor(unit: Unit, travel: number, width: number, height: number): number {
  return places(unit, travel, width, height).across;
}
