// The parts of a unit as they are drawn: where they are, tubes, pistons with their shims, reservoirs.

import type { Unit } from './data';
import { svg } from './dom';
import { lengths, type Lengths } from './oil_path';

export const wall = 5; // of a tube as drawn [px]

export interface Label {
  y: number; // what it belongs to
  x: number;
  lines: string[]; // the first one stands out
}

// Where things are on the drawing [px], y downwards.
export interface Places {
  lengths: Lengths;
  width: number;
  height: number;
  middle: number;
  bore: number; // half of it
  rod: number; // half of it
  outer: number; // half of what lies around or below
  across: number; // how much larger across is drawn than along
  rod_end: number;
  head: number; // top of the head
  R: number;
  piston: number;
  C: number;
  base: number;
  S: number;
  S_end: number;
  end: number;
}

export function places(unit: Unit, travel: number, width: number, height: number): Places {
  const along = lengths(unit, travel);
  const scale = (height - 16) / along.whole;
  const ratio = (unit.reservoir.diameter_m ?? unit.bore_m * (along.around ? 1.6 : 1)) / unit.bore_m;
  const widest = Math.max(1, ratio);
  const bore = Math.min((0.2 * width) / widest, 62);
  let y = 8;
  const step = (length: number) => {
    const at = y;
    y += length * scale;
    return at;
  };
  const rod_end = step(along.rod_out);
  const head = step(along.head);
  const R = step(along.R);
  const piston = step(along.piston);
  const C = step(along.C);
  const base = step(along.base);
  const S = step(along.S);
  const S_end = step(along.S_room);
  return {
    lengths: along,
    width,
    height,
    middle: bore * widest + wall + (width < 420 ? 4 : 22),
    bore,
    rod: (bore * unit.rod_m) / unit.bore_m,
    outer: bore * ratio,
    across: (2 * bore) / unit.bore_m / scale,
    rod_end,
    head,
    R,
    piston,
    C,
    base,
    S,
    S_end,
    end: y,
  };
}

export function box(
  left: number,
  top: number,
  right: number,
  bottom: number,
  attributes: Record<string, string>,
): SVGElement {
  return svg('rect', {
    x: left,
    y: top,
    width: Math.max(right - left, 0),
    height: Math.max(bottom - top, 0),
    ...attributes,
  });
}

export function oil(
  left: number,
  top: number,
  right: number,
  bottom: number,
  fill: string,
  hatch: string | null,
): SVGElement[] {
  const shape = [box(left, top, right, bottom, { fill })];
  if (hatch) shape.push(box(left, top, right, bottom, { fill: `url(#${hatch})` }));
  return shape;
}

interface Face {
  top: number;
  bottom: number;
  inner: number; // half of what stands in the middle
  side: -1 | 1;
  opens: -1 | 1; // upwards or downwards
  open: boolean;
  fill: string; // of the oil that stands in the passage: it comes from the side without shims
}

// A passage and, on its far side, the shims that cover it: bent when they open.
export function valve(p: Places, { top, bottom, inner, side, opens, open, fill }: Face): SVGElement[] {
  const at = p.middle + (side * (inner + p.bore)) / 2;
  const half = 0.32 * (p.bore - inner);
  const face = opens < 0 ? top : bottom;
  const shims = [0.97, 0.72].map((reach, i) => {
    const from = p.middle + side * inner;
    const to = p.middle + side * (inner + reach * (p.bore - inner));
    const rest = face + opens * (2 + 4 * i);
    const bent = open ? opens * (12 - 5 * i) : 0;
    return svg('path', { d: `M${from} ${rest}Q${(from + to) / 2} ${rest} ${to} ${rest + bent}`, class: 'shim-line' });
  });
  return [box(at - half, top, at + half, bottom, { class: 'passage', fill }), ...shims];
}

export function arrow(x: number, from: number, to: number, width: number): SVGElement {
  const way = Math.sign(to - from);
  const neck = to - way * Math.min(9, Math.abs(to - from) / 2);
  const [w, h] = [width / 2, width / 2 + 4];
  return svg('path', {
    class: 'flow',
    d: `M${x - w} ${from}V${neck}H${x - h}L${x} ${to}L${x + h} ${neck}H${x + w}V${from}Z`,
  });
}

function zigzag(x: number, half: number, top: number, bottom: number): SVGElement {
  const turns = 7;
  const points = [...Array(turns + 1).keys()].map(
    (i) => `${x + (i % 2 ? half : -half)} ${top + ((bottom - top) * i) / turns}`,
  );
  return svg('path', { class: 'spring', d: `M${points.join('L')}` });
}

const behind: Record<Unit['reservoir']['kind'], string> = {
  spring_piston: 'spring behind a piston',
  bladder: 'gas in a bladder',
  gas_piston: 'gas behind a piston',
  leg: 'air of the leg',
};

export function reservoir(p: Places, unit: Unit, fill: string, hatch: string | null, labels: Label[]): SVGElement[] {
  const { middle, outer, bore } = p;
  const edge = middle + outer + wall;
  if (p.lengths.around) {
    const level =
      p.S - ((p.S - p.head) * p.lengths.level) / (p.lengths.C + p.lengths.piston + p.lengths.R + p.lengths.base);
    const top = unit.layout === 'open_cartridge' ? Math.max(p.head - 26, 4) : p.head;
    labels.push({
      y: (top + level) / 2,
      x: middle + outer - 3,
      lines: ['', unit.layout === 'twin_tube' ? 'gas' : behind[unit.reservoir.kind]],
    });
    return [
      box(middle - outer - wall, top, edge, p.end, { class: 'metal' }),
      box(middle - outer, top + (unit.layout === 'twin_tube' ? wall : 0), middle + outer, level, { class: 'gas' }),
      ...oil(middle - outer, level, middle + outer, p.end - wall, fill, hatch),
      box(middle - bore - wall, p.head, middle + bore + wall, p.S - 4, { class: 'metal' }),
    ];
  }
  const piston_end = p.S_end + Math.min(9, (p.end - p.S_end) / 3);
  labels.push({ y: (piston_end + p.end) / 2, x: middle + outer, lines: ['', behind[unit.reservoir.kind]] });
  const shapes = [
    box(middle - outer - wall, p.S - wall, edge, p.end, { class: 'metal' }),
    box(middle - outer, p.S, middle + outer, p.end - wall, { class: 'gas' }),
    ...oil(middle - outer, p.S, middle + outer, p.S_end, fill, hatch),
  ];
  if (unit.reservoir.kind === 'bladder') {
    shapes.push(
      svg('path', {
        class: 'bladder',
        d: `M${middle - outer} ${p.end - wall}V${p.S_end + 8}Q${middle - outer} ${p.S_end} ${middle - outer + 12} ${p.S_end}H${middle + outer - 12}Q${middle + outer} ${p.S_end} ${middle + outer} ${p.S_end + 8}V${p.end - wall}`,
      }),
    );
  } else {
    shapes.push(box(middle - outer, p.S_end, middle + outer, piston_end, { class: 'metal' }));
  }
  if (unit.reservoir.kind === 'spring_piston') shapes.push(zigzag(middle, 0.7 * outer, piston_end, p.end - wall));
  return shapes;
}
