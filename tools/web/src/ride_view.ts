// The rides of a page: for each event a picture that moves when asked, stands still otherwise, and can be stepped.

import type { Context } from './context';
import type { Page, RideSeries } from './data';
import { html, new_id, svg } from './dom';
import { at_moment, extent_of, moment_drawing, place_of, type Extent } from './ride_drawing';
import { metrics_table } from './ride_table';
import { share_at, strips_drawing, traces, type Traced } from './ride_strips';
import { colour_of, dash_of } from './theme';
import { with_unit } from './units';
import { prefix } from './words';

const paces: [string, number][] = [
  ['a tenth of the real pace', 0.1],
  ['a quarter of the real pace', 0.25],
  ['the real pace', 1],
];

// The steps of the slider: so many or more, none longer than this [s].
const least_steps = 250;
const longest_step = 0.02;

function traced(page: Page, number: number): Traced[] {
  return page.setups.flatMap(({ name, rides }, look) => {
    const ride = rides[number];
    return ride?.series ? [{ name, look, ride, series: ride.series }] : [];
  });
}

class RideView {
  private moment = 0; // in steps, between them while it moves
  private readonly steps: number;
  private readonly spacing: number; // of two steps [s]
  private readonly deepest: number; // the moment at which most travel is used, for paper
  private readonly extent: Extent;
  private readonly several: boolean;
  private readonly slider: HTMLInputElement;
  private readonly said = html('output', { 'aria-live': 'off' });
  private readonly run = html('button', { type: 'button' });
  private readonly pace: HTMLSelectElement;
  private readonly hosts: HTMLElement[];
  private readonly strips = html('div', { class: 'host' });
  private readonly table: HTMLElement;
  private readonly whole = html('div');
  private readonly widths = new Map<HTMLElement, number>();
  private readonly still = window.matchMedia('(prefers-reduced-motion: reduce)');
  private frame = 0; // asked for; 0: it stands
  private was_moved = false; // from where the page opens, its deepest moment
  readonly element: HTMLElement;

  constructor(
    private readonly context: Context,
    private readonly all: Traced[],
  ) {
    this.several = context.page.setups.length > 1;
    const { ride, series } = all[0];
    const duration = series.time_s[series.time_s.length - 1];
    this.steps = Math.max(least_steps, Math.ceil(duration / longest_step));
    this.spacing = duration / this.steps;
    const most = all.map((each) => Math.max(...each.series.travel_m));
    const worst = all[most.indexOf(Math.max(...most))].series;
    this.deepest = worst.time_s[worst.travel_m.indexOf(Math.max(...worst.travel_m))] / this.spacing;
    this.moment = this.deepest;
    this.extent = extent_of(all);
    this.table = html('div', { class: 'wide', tabindex: 0, role: 'region', 'aria-label': `Figures at this moment, ${ride.event}` });
    const id = new_id('moment');
    this.slider = html('input', { type: 'range', id, min: 0, max: this.steps, step: 1, value: Math.round(this.moment) });
    this.said.setAttribute('for', id);
    this.pace = html(
      'select',
      { 'aria-label': 'How fast the picture moves' },
      ...paces.map(([words, share]) => html('option', { value: share, selected: share === 0.25 }, words)),
    );
    this.hosts = all.map(() => html('div', { class: 'host' }));
    this.element = html(
      'div',
      { class: 'event', id: `ride-${new_id('event')}` },
      html('h3', {}, ride.event),
      html('p', { class: 'about' }, `${ride.about}.`),
      html(
        'div',
        { class: 'control' },
        html('label', { for: id }, 'Moment'),
        this.slider,
        this.step('◀', 'a step back', -1),
        this.step('▶', 'a step on', 1),
        this.run,
        this.pace,
        this.said,
      ),
      html(
        'div',
        { class: 'pair' },
        ...all.map(({ name, ride: { event } }, i) =>
          html('figure', { 'aria-label': `${prefix(name, this.several)}${event}` }, this.several ? html('h4', {}, name) : null, this.hosts[i]),
        ),
      ),
      html(
        'p',
        { class: 'about' },
        'All in one proportion; fork or shock, and how high the body stands, are only sketched. Thin line: the body’s height at the start. ' +
          'Dotted: the way of hub and body. Arrow: how hard the ground pushes. Bar: travel used. The height of the wheel is that of its ' +
          'lowest point above level ground, were the tyre not pressed in.',
      ),
      html('p', { class: 'about not-printed' }, 'Arrow keys step, Escape stops; the traces can be pointed at.'),
      this.several ? this.legend() : null,
      html('div', { class: 'pair' }, html('figure', { 'aria-label': 'Traces' }, this.strips), this.table),
      this.whole,
    );
    this.listen();
    this.hosts.forEach((host, i) =>
      context.sized_part(
        host,
        (width) => {
          this.widths.set(host, width);
          this.draw_picture(i);
        },
        2,
      ),
    );
    context.sized_part(
      this.strips,
      (width) => {
        this.widths.set(this.strips, width);
        this.draw_strips();
      },
      2,
    );
    context.part(() => {
      if (context.printing) this.stop();
      this.whole.replaceChildren(metrics_table(this.all, context));
      this.draw_words();
    });
    this.motion_changed();
  }

  private step(sign: string, words: string, by: number): HTMLElement {
    const button = html('button', { type: 'button', 'aria-label': words, title: words }, sign);
    button.addEventListener('click', () => this.go(Math.round(this.moment) + by));
    return button;
  }

  private legend(): HTMLElement {
    return html(
      'p',
      { class: 'legend' },
      ...this.all.map(({ name, look }) => {
        const line = svg('line', {
          x1: 1,
          y1: 8,
          x2: 39,
          y2: 8,
          'stroke-width': 2.2,
          stroke: colour_of(look, this.context.theme),
          'stroke-dasharray': dash_of(look).join(' ') || null,
        });
        this.context.part(() => line.setAttribute('stroke', colour_of(look, this.context.theme)));
        return html('span', {}, svg('svg', { width: 40, height: 16, 'aria-hidden': 'true' }, line), ` ${name}`);
      }),
    );
  }

  private listen(): void {
    this.slider.addEventListener('input', () => this.go(Number(this.slider.value)));
    this.run.addEventListener('click', () => (this.frame ? this.stop() : this.start()));
    // On the slider the arrows are the browser's own.
    this.run.addEventListener('keydown', (event) => {
      const by = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0;
      if (by === 0) return;
      event.preventDefault();
      this.go(Math.round(this.moment) + by);
    });
    this.element.addEventListener('keydown', (event) => {
      if (event.key === 'Escape') this.stop();
    });
    this.strips.addEventListener('pointerdown', (event) => {
      const width = this.widths.get(this.strips) ?? 0;
      this.go(Math.round(share_at(event.clientX - this.strips.getBoundingClientRect().left, width) * this.steps));
    });
    document.addEventListener('visibilitychange', () => this.stop());
    new IntersectionObserver((entries) => {
      if (entries.every((entry) => !entry.isIntersecting)) this.stop();
    }).observe(this.element);
    this.still.addEventListener('change', () => this.motion_changed());
  }

  // Who asks for less motion gets the steps alone.
  private motion_changed(): void {
    this.stop();
    this.run.hidden = this.pace.hidden = this.still.matches;
  }

  // What is shown [s]: on paper the deepest moment, whatever stands on the screen.
  private shown(): number {
    return (this.context.printing ? this.deepest : this.moment) * this.spacing;
  }

  private at_shown({ time_s }: RideSeries, values: number[]): number {
    return at_moment(values, place_of(time_s, this.shown()));
  }

  private go(moment: number): void {
    this.stop();
    this.show(moment);
  }

  private show(moment: number): void {
    this.was_moved = true;
    this.moment = Math.min(Math.max(moment, 0), this.steps);
    this.slider.value = String(Math.round(this.moment));
    this.hosts.forEach((_, i) => this.draw_picture(i));
    this.draw_strips();
    this.draw_words();
  }

  private start(): void {
    if (!this.was_moved || this.moment >= this.steps) this.moment = 0;
    let before: number | null = null;
    const next = (now: number) => {
      const passed = before === null ? 0 : Math.min(now - before, 100) / 1000;
      before = now;
      this.show(this.moment + (passed * Number(this.pace.value)) / this.spacing);
      if (this.moment >= this.steps) this.stop();
      else this.frame = requestAnimationFrame(next);
    };
    this.frame = requestAnimationFrame(next);
    this.run.textContent = 'Stop';
  }

  private stop(): void {
    if (this.frame) cancelAnimationFrame(this.frame);
    this.frame = 0;
    this.run.textContent = 'Let it move';
  }

  private words(): string {
    const { ride, series } = this.all[0];
    const at = (values: number[]) => this.at_shown(series, values);
    const time = `at ${with_unit(at(series.time_s), 'time', this.context.units)}`;
    return ride.by_time ? time : `${time}, ${with_unit(at(series.distance_m), 'distance', this.context.units)} along`;
  }

  private told({ name, series }: Traced): string {
    const { units } = this.context;
    const figures = traces.map(({ name: what, quantity, read }) => `${what} ${with_unit(this.at_shown(series, read(series)), quantity, units)}`);
    return `${prefix(name, this.several)}the wheel ${this.words()}: ${figures.join(', ')}`;
  }

  private draw_picture(i: number): void {
    const width = this.widths.get(this.hosts[i]) ?? 0;
    if (width <= 0) return;
    const each = this.all[i];
    this.hosts[i].replaceChildren(moment_drawing(each.ride, each.series, this.shown(), this.extent, width, this.told(each)));
  }

  private draw_strips(): void {
    const width = this.widths.get(this.strips) ?? 0;
    if (width > 0) this.strips.replaceChildren(strips_drawing(this.all, this.shown(), this.context, width));
  }

  private draw_words(): void {
    const { units } = this.context;
    const words = this.words();
    this.said.textContent = words;
    this.slider.setAttribute('aria-valuetext', words);
    this.table.replaceChildren(
      html(
        'table',
        {},
        html('caption', {}, `The figures ${words}`),
        this.several
          ? html('thead', {}, html('tr', {}, html('th', { scope: 'col' }, 'figure'), ...this.all.map(({ name }) => html('th', { scope: 'col', class: 'figure' }, name))))
          : null,
        html(
          'tbody',
          {},
          ...traces.map(({ name, quantity, read }) =>
            html(
              'tr',
              {},
              html('th', { scope: 'row' }, name),
              ...this.all.map(({ series }) => html('td', { class: 'figure' }, with_unit(this.at_shown(series, read(series)), quantity, units))),
            ),
          ),
        ),
      ),
    );
  }
}

export function rides(context: Context): HTMLElement | null {
  const events = Math.max(0, ...context.page.setups.map((setup) => setup.rides.length));
  const views = Array.from({ length: events }, (_, number) => traced(context.page, number))
    .filter((all) => all.length > 0)
    .map((all) => new RideView(context, all).element);
  return views.length > 0 ? html('div', {}, ...views) : null;
}
