// The oil path on the page: one drawing a set-up, one control of speed for all.

import type { Context } from './context';
import type { Curve, CurvePoint, Setup, Unit } from './data';
import { html, new_id, svg } from './dom';
import { flows, pressure } from './oil_path';
import { across_factor, drawing_height, share_of, unit_drawing, type Scales } from './oil_path_drawing';
import { cividis_anchors } from './theme';
import { figure, p_atm, with_unit } from './units';
import { direction, joined, prefix } from './words';

interface Shown {
  names: string[];
  title: string;
  unit: Unit;
  curve: Curve;
}

// Set-ups whose oil does the same (other springs, another oil level) share a drawing.
function drawable(setups: Setup[]): Shown[] {
  const shown: Shown[] = [];
  for (const { name, inspect, unit, curve } of setups) {
    if (!unit || !curve || curve.points.length === 0) continue;
    const same = shown.find((each) => JSON.stringify([each.unit, each.curve.travel_m, each.curve.points])
      === JSON.stringify([unit, curve.travel_m, curve.points]));
    if (same) same.names.push(name); else shown.push({ names: [name], title: inspect.title, unit, curve });
  }
  return shown;
}

function scales_of(shown: Shown[]): Scales {
  const points = shown.flatMap(({ curve }) => curve.points);
  const pressures = points.flatMap((p) => [p.p_C_Pa, p.p_R_Pa, p.p_S_Pa]).filter((p): p is number => p !== null);
  const volumes = shown.flatMap(({ unit, curve }) => curve.points.flatMap((p) => flows(unit, p).map((f) => f.volume_m3_s)));
  return { most_pressure: Math.max(p_atm, ...pressures), most_flow: Math.max(1e-9, ...volumes) };
}

// Where the page opens: just into the first void on rebound if there is one, else 1 m/s of rebound.
function first_speed(shown: Shown[]): number {
  const { curve } = shown[0];
  const onset = curve.void_onset.rebound_m_s;
  const wanted = onset === null ? -1 : -onset;
  const slower = curve.points.map((p, i) => [p.speed_m_s, i] as const).filter(([speed]) => speed <= wanted);
  return slower.length > 0 ? slower[slower.length - 1][1] : 0;
}

function nearest(curve: Curve, speed: number): CurvePoint {
  return curve.points.reduce((best, p) => Math.abs(p.speed_m_s - speed) < Math.abs(best.speed_m_s - speed) ? p : best);
}

function legend(scales: Scales, context: Context): HTMLElement {
  const gradient = new_id('scale');
  const width = 300;
  const ticks = [0, 0.04, 0.16, 0.36, 0.64, 1];
  // From empty space to the largest pressure; the ticks lie evenly because the scale is a square root.
  return html('figure', { class: 'scale' }, svg('svg', { width: width + 60, height: 44, viewBox: `-30 0 ${width + 60} 44`, role: 'img', 'aria-label': 'Scale of pressure' },
    svg('defs', {}, svg('linearGradient', { id: gradient }, ...cividis_anchors.map((colour, i) =>
      svg('stop', { offset: i / (cividis_anchors.length - 1), 'stop-color': colour })))),
    svg('rect', { x: 0, y: 4, width, height: 16, fill: `url(#${gradient})`, class: 'outlined' }),
    ...ticks.flatMap((share) => {
      const p = share * scales.most_pressure;
      const x = share_of(p, scales) * width;
      return [svg('line', { x1: x, x2: x, y1: 20, y2: 25, class: 'tick' }),
              svg('text', { x, y: 38, 'text-anchor': 'middle' }, figure(p, 'gauge', context.units, 3))];
    })),
    html('figcaption', {}, `${context.units.pressure} gauge, square-root scale; hatched: the chamber holds a void. Colours: cividis.`));
}

function figures(shown: Shown[], points: CurvePoint[], context: Context): HTMLElement {
  const { units } = context;
  const several = context.page.setups.length > 1;
  const rows: [string, (p: CurvePoint, unit: Unit) => string][] = [
    ['C, behind the piston', (p) => with_unit(pressure(p, 'C'), 'gauge', units)],
    ['R, rod side', (p) => with_unit(pressure(p, 'R'), 'gauge', units)],
    ['S, reservoir', (p) => with_unit(pressure(p, 'S'), 'gauge', units)],
    ['oil through the base', (p, unit) => with_unit(flows(unit, p)[0].volume_m3_s, 'flow', units)],
    ['oil through the piston', (p, unit) => with_unit(flows(unit, p)[1].volume_m3_s, 'flow', units)],
    ['void', (p) => p.cavitated ? `in ${p.cavitated}, grows ${with_unit(p.void_growth_m3_s, 'flow', units)}` : 'none'],
    ['damping force', (p) => with_unit(p.damping_force_N, 'force', units)],
  ];
  return html('table', { class: 'short' },
    html('caption', {}, `At ${with_unit(Math.abs(points[0].speed_m_s), 'speed', units)} of ${direction(points[0].speed_m_s)}`),
    html('thead', {}, html('tr', {}, html('th', { scope: 'col' }, 'what'),
      ...shown.map(({ names }) => html('th', { scope: 'col', class: 'figure' }, several ? joined(names) : 'value')))),
    html('tbody', {}, ...rows.map(([name, read]) => html('tr', {}, html('th', { scope: 'row' }, name),
      ...shown.map(({ unit }, i) => html('td', { class: 'figure' }, points[i].error ?? read(points[i], unit)))))));
}

export function oil_path(context: Context): HTMLElement | null {
  const shown = drawable(context.page.setups);
  if (shown.length === 0) return null;
  const scales = scales_of(shown);
  const several = context.page.setups.length > 1;
  const speeds = shown[0].curve.points.map((p) => p.speed_m_s);
  const id = new_id('speed');
  const control = html('input', { type: 'range', id, min: 0, max: speeds.length - 1, step: 1, value: first_speed(shown) });
  const said = html('output', { for: id });
  const scale = html('div');
  const table = html('div', { class: 'wide', tabindex: 0, role: 'region', 'aria-label': 'Figures at this speed' });
  const hosts = shown.map(() => html('div', { class: 'host' }));
  const points = () => shown.map(({ curve }) => nearest(curve, speeds[Number(control.value)]));
  const widths = shown.map(() => 0);
  const draw_one = (i: number) => {
    const { names, unit, curve } = shown[i];
    const point = points()[i];
    const title = `${prefix(joined(names), several)}long section at ${with_unit(Math.abs(point.speed_m_s), 'speed', context.units)} of ${direction(point.speed_m_s)}; its figures are in the table below`;
    hosts[i].replaceChildren(unit_drawing(unit, curve.travel_m, point, scales, context, widths[i], title));
  };
  const notes = shown.map(() => html('p', { class: 'about' }));
  const draw_words = () => {
    const speed = speeds[Number(control.value)];
    const words = `${with_unit(Math.abs(speed), 'speed', context.units)}, ${direction(speed)}`;
    said.textContent = words;
    control.setAttribute('aria-valuetext', words);
    table.replaceChildren(figures(shown, points(), context));
    scale.replaceChildren(legend(scales, context));
  };
  control.addEventListener('input', () => {
    shown.forEach((_, i) => { if (widths[i] > 0) draw_one(i); });
    draw_words();
  });
  hosts.forEach((host, i) => context.sized_part(host, (width) => {
    widths[i] = width;
    draw_one(i);
    const factor = across_factor(shown[i].unit, shown[i].curve.travel_m, width, drawing_height(context));
    notes[i].textContent = `At ${with_unit(shown[i].curve.travel_m, 'length', context.units)} of `
      + `${with_unit(shown[i].unit.travel_m, 'length', context.units)} travel. Lengths are in proportion, and so are `
      + `widths; across is drawn ${factor.toFixed(1)} times as large as along. Thicknesses of piston, base and walls, `
      + 'and where the oil of the reservoir begins, are not in the file and only drawn.';
  }, 2));
  context.part(draw_words);
  return html('div', {},
    html('div', { class: 'control' }, html('label', { for: id }, 'Rod speed'), control, said),
    shown.length > 1 ? scale : null,
    html('div', { class: 'pair' }, ...shown.map(({ names, title }, i) => html('figure', { class: 'unit-figure' },
      several ? html('h3', {}, names.length > 1 ? `${joined(names)}: the same` : `${names[0]}: ${title}`) : null, hosts[i], notes[i])),
      shown.length === 1 ? html('div', {}, scale, table) : null),
    shown.length > 1 ? table : null);
}
