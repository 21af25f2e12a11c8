// The oil path on the page: one drawing a set-up, one control of speed for all.

import type { Context } from './context';
import type { Curve, CurvePoint, Page, Setup, Unit } from './data';
import { html, new_id } from './dom';
import { flows } from './oil_path';
import { across_factor, drawing_height, unit_drawing, type Scales } from './oil_path_drawing';
import { figures, legend } from './oil_path_figures';
import { p_atm, with_unit } from './units';
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
    const same = shown.find(
      (each) =>
        JSON.stringify([each.unit, each.curve.travel_m, each.curve.points]) ===
        JSON.stringify([unit, curve.travel_m, curve.points]),
    );
    if (same) same.names.push(name);
    else shown.push({ names: [name], title: inspect.title, unit, curve });
  }
  return shown;
}

function scales_of(shown: Shown[]): Scales {
  const points = shown.flatMap(({ curve }) => curve.points);
  const pressures = points.flatMap((p) => [p.p_C_Pa, p.p_R_Pa, p.p_S_Pa]).filter((p): p is number => p !== null);
  const volumes = shown.flatMap(({ unit, curve }) =>
    curve.points.flatMap((p) => flows(unit, p).map((f) => f.volume_m3_s)),
  );
  return { most_pressure: Math.max(p_atm(), ...pressures), most_flow: Math.max(1e-9, ...volumes) };
}

// Where the page opens: just into the first void on rebound if there is one, else 1 m/s of rebound.
function first_speed(shown: Shown[]): number {
  const { curve } = shown[0];
  const onset = curve.void_onset.rebound_m_s;
  const wanted = onset === null ? -1 : -onset;
  const slower = curve.points.map((p, i) => [p.speed_m_s, i] as const).filter(([speed]) => speed <= wanted);
  return slower.length > 0 ? slower[slower.length - 1][1] : 0;
}

// The same as a speed [m/s]; null where no oil path is drawn.
export function opening_speed(page: Page): number | null {
  const shown = drawable(page.setups);
  return shown.length > 0 ? shown[0].curve.points[first_speed(shown)].speed_m_s : null;
}

function nearest(curve: Curve, speed: number): CurvePoint {
  return curve.points.reduce((best, p) =>
    Math.abs(p.speed_m_s - speed) < Math.abs(best.speed_m_s - speed) ? p : best,
  );
}

// One long section: of a set-up at the chosen speed, or at the same speed the other way.
interface Drawing {
  shown: Shown;
  back: boolean; // the other way, for paper alone, where nobody can move the control
  host: HTMLElement;
  said: HTMLElement;
  note: HTMLElement;
  width: number;
}

function words_of(speed: number, context: Context): string {
  return `${with_unit(Math.abs(speed), 'speed', context.units)}, ${direction(speed)}`;
}

class OilPath {
  private readonly several: boolean; // set-ups on the page
  private readonly scales: Scales;
  private readonly speeds: number[];
  private readonly control: HTMLInputElement;
  private readonly said: HTMLOutputElement;
  private readonly scale = html('div');
  private readonly table = html('div', {
    class: 'wide',
    tabindex: 0,
    role: 'region',
    'aria-label': 'Figures at this speed',
  });
  private readonly drawings: Drawing[];
  readonly element: HTMLElement;

  constructor(
    private readonly context: Context,
    shown: Shown[],
  ) {
    this.several = context.page.setups.length > 1;
    this.scales = scales_of(shown);
    this.speeds = shown[0].curve.points.map((p) => p.speed_m_s);
    const id = new_id('speed');
    this.control = html('input', {
      type: 'range',
      id,
      min: 0,
      max: this.speeds.length - 1,
      step: 1,
      value: first_speed(shown),
    });
    this.said = html('output', { for: id });
    const drawing = (each: Shown, back: boolean): Drawing => ({
      shown: each,
      back,
      host: html('div', { class: 'host' }),
      said: html('p', { class: 'on-paper' }),
      note: html('p', { class: 'about' }),
      width: 0,
    });
    this.drawings = shown.map((each) => drawing(each, false));
    if (shown.length === 1) this.drawings.push(drawing(shown[0], true));
    const beside = html('div', { class: 'beside' }, this.scale, this.table);
    this.element = html(
      'div',
      {},
      html('div', { class: 'control' }, html('label', { for: id }, 'Rod speed'), this.control, this.said),
      html(
        'div',
        { class: 'pair' },
        ...this.drawings.map((each) => this.figure(each)),
        shown.length === 1 ? beside : null,
      ),
      shown.length > 1 ? beside : null,
    );
    this.control.addEventListener('input', () => this.draw());
    for (const each of this.drawings)
      context.sized_part(
        each.host,
        (width) => {
          each.width = width;
          this.draw_one(each);
        },
        2,
      );
    context.part(() => this.draw_words());
  }

  private figure({ shown: { names, title }, back, host, said, note }: Drawing): HTMLElement {
    const head = names.length > 1 ? `${joined(names)}: the same` : `${names[0]}: ${title}`;
    return html(
      'figure',
      { class: back ? 'unit-figure on-paper' : 'unit-figure' },
      this.several ? html('h3', {}, head) : null,
      said,
      host,
      note,
    );
  }

  private point({ shown, back }: Drawing): CurvePoint {
    const speed = this.speeds[Number(this.control.value)];
    return nearest(shown.curve, back ? -speed : speed);
  }

  private draw(): void {
    for (const each of this.drawings) this.draw_one(each);
    this.draw_words();
  }

  private draw_one(drawing: Drawing): void {
    const { context } = this;
    const {
      shown: { names, unit, curve },
      width,
    } = drawing;
    if (width <= 0) return;
    const point = this.point(drawing);
    const title = `${prefix(joined(names), this.several)}long section at ${words_of(point.speed_m_s, context)}; its figures are in the table beside it`;
    drawing.host.replaceChildren(unit_drawing(unit, curve.travel_m, point, this.scales, context, width, title));
    drawing.said.textContent = words_of(point.speed_m_s, context);
    const factor = across_factor(unit, curve.travel_m, width, drawing_height(context));
    drawing.note.textContent =
      `At ${with_unit(curve.travel_m, 'length', context.units)} of ` +
      `${with_unit(unit.travel_m, 'length', context.units)} travel. Lengths are in proportion, and so are ` +
      `widths; across is drawn ${factor.toFixed(1)} times as large as along. Thicknesses of piston, base and walls, ` +
      'and where the oil of the reservoir begins, are not in the file and only drawn.';
  }

  private draw_words(): void {
    const { context, drawings } = this;
    const words = words_of(this.speeds[Number(this.control.value)], context);
    this.said.textContent = words;
    this.control.setAttribute('aria-valuetext', words);
    const alone = drawings.some((each) => each.back);
    const columns = drawings
      .filter((each) => !each.back || context.printing)
      .map((each) => {
        const point = this.point(each);
        return {
          head: alone ? words_of(point.speed_m_s, context) : joined(each.shown.names),
          unit: each.shown.unit,
          point,
        };
      });
    this.table.replaceChildren(figures(columns, alone ? 'Figures of the drawing' : `At ${words}`, context));
    this.scale.replaceChildren(legend(this.scales, context));
  }
}

export function oil_path(context: Context): HTMLElement | null {
  const shown = drawable(context.page.setups);
  return shown.length > 0 ? new OilPath(context, shown).element : null;
}
