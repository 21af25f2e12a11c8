// A plot on the page: drawing, series to switch, zoom, hover, table and files.

import type { Context } from '../context';
import { html, new_id, svg } from '../dom';
import type { Theme } from '../theme';
import { unit_of, with_unit } from '../units';
import { colour, connect, dash, init, option, symbol, type EChartsType, type Look } from './chart';
import { save_csv, save_png } from './export';
import { full_name, full_title, type Line, type Plot } from './model';
import { onset_table } from './onsets';
import { first_x, shifted, whole_x, zoomed, type Range } from './scale';
import { figure_table, groups } from './table';

function swatch(line: Line, theme: Theme): SVGElement {
  const stroke = colour(line, theme);
  const hollow = symbol(line).startsWith('empty');
  const shape = { fill: hollow ? theme.ground : stroke, stroke, 'stroke-width': 1.5 };
  const kind = symbol(line).replace('empty', '').toLowerCase();
  const mark =
    kind === 'circle'
      ? svg('circle', { cx: 20, cy: 8, r: 3.5, ...shape })
      : svg('path', {
          ...shape,
          d:
            kind === 'rect'
              ? 'M16.5 4.5h7v7h-7z'
              : kind === 'triangle'
                ? 'M20 4l4 7.5h-8z'
                : 'M20 3.5l4.5 4.5-4.5 4.5-4.5-4.5z',
        });
  return svg(
    'svg',
    { width: 40, height: 16, 'aria-hidden': 'true', focusable: 'false' },
    line.kind === 'points'
      ? null
      : svg('line', {
          x1: 1,
          y1: 8,
          x2: 39,
          y2: 8,
          stroke,
          'stroke-width': 2.2,
          'stroke-dasharray': dash(line).join(' '),
        }),
    mark,
  );
}

// What a reader who does not see the drawing is told of it.
function spoken(plot: Plot, lines: Line[], context: Context): string {
  const parts = lines.map((line) => {
    const ys = line.points.flatMap(([, y]) => (y === null ? [] : [y]));
    const range = (value: number) => with_unit(value, plot.y.quantity, context.units);
    return ys.length > 0
      ? `${full_name(line)} from ${range(Math.min(...ys))} to ${range(Math.max(...ys))}`
      : full_name(line);
  });
  return `${full_title(plot)}: ${plot.y.name} against ${plot.x.name}. ${parts.join('; ')}. The figures are in the table below.`;
}

class PlotView {
  private readonly title: string;
  private readonly whole: Range;
  private view: Range;
  private readonly shown: Set<Line>;
  private readonly canvas = html('div', { class: 'canvas', role: 'img' });
  private readonly legend = html('fieldset', { class: 'legend' });
  private readonly table = html('div');
  private readonly onsets = html('div');
  private readonly details: HTMLDetailsElement;
  private chart: EChartsType | null = null;
  readonly element: HTMLElement;

  constructor(
    private readonly plot: Plot,
    private readonly context: Context,
  ) {
    this.title = full_title(plot);
    this.whole = whole_x(plot);
    this.view = first_x(plot);
    this.shown = new Set(plot.lines.filter((line) => !line.hidden));
    this.details = html('details', { class: 'as-table' }, html('summary', {}, 'as a table'), this.table);
    const heading = new_id('plot');
    this.element = html(
      'section',
      { class: 'plot', id: `plot-${plot.id.replace(/[^\w-]/g, '-')}`, 'aria-labelledby': heading },
      html('h4', { id: heading }, this.title),
      ...plot.about.map((sentence) => html('p', { class: 'about' }, sentence)),
      this.legend,
      this.canvas,
      this.buttons(),
      this.onsets,
      this.details,
    );
    // A closed table is not built: hundreds of rows that nobody asked for.
    this.details.addEventListener('toggle', () => this.draw_table());
    this.listen();
    this.fill_legend();
    context.sized_part(this.canvas, (width) => this.draw(width), 2);
    context.part(() => {
      this.fill_legend();
      this.draw_table();
      this.draw_onsets();
    });
  }

  private look(): Look {
    const { plot, view, context } = this;
    return {
      plot,
      lines: plot.lines.filter((line) => this.shown.has(line)),
      view,
      units: context.units,
      theme: context.theme,
      print: context.printing,
    };
  }

  private draw(width = Math.floor(this.canvas.clientWidth)): void {
    if (width <= 0) return;
    const height = this.context.printing ? 190 : Math.round(Math.min(Math.max(0.5 * width, 250), 360));
    this.canvas.style.height = `${height}px`;
    const look = this.look();
    this.chart ??= this.begin(width, height);
    this.chart.resize({ width, height });
    this.chart.setOption(option(look), { notMerge: true });
    this.chart.getZr().flush(); // print does not wait for the next frame
    this.canvas.setAttribute('aria-label', spoken(this.plot, look.lines, this.context));
  }

  private begin(width: number, height: number): EChartsType {
    const chart = init(this.canvas, null, { renderer: 'svg', width, height });
    if (this.plot.cursor) {
      chart.group = this.plot.cursor;
      connect(this.plot.cursor);
    }
    return chart;
  }

  private show(view: Range): void {
    this.view = view;
    this.draw();
  }

  private fill_legend(): void {
    const focused = [...this.legend.querySelectorAll('input')].findIndex((input) => input === document.activeElement);
    this.legend.replaceChildren(
      html('legend', { class: 'unseen' }, `Series of ${this.title}`),
      ...this.plot.lines.map((line) => {
        const box = html('input', { type: 'checkbox', checked: this.shown.has(line) });
        const label = html(
          'label',
          { class: this.shown.has(line) ? null : 'off' },
          box,
          swatch(line, this.context.theme),
          full_name(line),
        );
        box.addEventListener('change', () => {
          if (box.checked) this.shown.add(line);
          else this.shown.delete(line);
          label.classList.toggle('off', !box.checked);
          this.draw();
        });
        return label;
      }),
    );
    if (focused >= 0) this.legend.querySelectorAll('input')[focused]?.focus();
  }

  private buttons(): HTMLElement {
    const button = (text: string, title: string, act: () => void) => {
      const made = html('button', { type: 'button', 'aria-label': `${text}: ${title}, ${this.title}`, title }, text);
      made.addEventListener('click', act);
      return made;
    };
    const pan = (share: number) => this.show(shifted(this.view, this.whole, share * (this.view.max - this.view.min)));
    return html(
      'div',
      { class: 'buttons' },
      button('+', 'zoom in', () => this.show(zoomed(this.view, this.whole, 0.5))),
      button('−', 'zoom out', () => this.show(zoomed(this.view, this.whole, 2))),
      button('◀', 'to the left', () => pan(-0.25)),
      button('▶', 'to the right', () => pan(0.25)),
      button('all', 'the whole range', () => this.show(this.whole)),
      button('PNG', 'save as a picture', () => {
        void save_png(this.look());
      }),
      button('CSV', 'save the figures', () => save_csv(this.look())),
    );
  }

  // Where the mouse is, as a share of the view; the axis itself ends at round figures beyond it.
  private share_at(event: MouseEvent): number {
    const x = event.clientX - this.canvas.getBoundingClientRect().left;
    const unit = unit_of(this.plot.x.quantity, this.context.units);
    const value = this.chart?.convertFromPixel({ xAxisIndex: 0 }, x) as number | undefined;
    if (value === undefined) return 0.5;
    const share = ((value - unit.offset) / unit.per_SI - this.view.min) / (this.view.max - this.view.min);
    return Math.min(Math.max(share, 0), 1);
  }

  // With a mouse: Ctrl and the wheel, or a stretch dragged over. All of it can be done by the buttons too.
  private listen(): void {
    this.canvas.addEventListener(
      'wheel',
      (event) => {
        if (!event.ctrlKey) return;
        event.preventDefault();
        this.show(zoomed(this.view, this.whole, event.deltaY > 0 ? 1.25 : 0.8, this.share_at(event)));
      },
      { passive: false },
    );
    let from: number | null = null;
    this.canvas.addEventListener('pointerdown', (event) => {
      if (event.pointerType === 'mouse' && event.button === 0) from = this.share_at(event);
    });
    this.canvas.addEventListener('pointerup', (event) => {
      if (from === null) return;
      const [low, high] = [from, this.share_at(event)].sort((a, b) => a - b);
      from = null;
      const width = this.view.max - this.view.min;
      if (high - low > 0.03) this.show({ min: this.view.min + low * width, max: this.view.min + high * width });
    });
    this.canvas.addEventListener('pointerleave', () => {
      from = null;
    });
  }

  private draw_table(): void {
    if (!this.details.open) {
      this.table.replaceChildren();
      return;
    }
    this.table.replaceChildren(
      ...groups(this.plot).map((lines) =>
        html(
          'div',
          {
            class: 'wide',
            tabindex: 0,
            role: 'region',
            'aria-label': `${this.title}, ${lines.map(full_name).join(', ')}, as a table`,
          },
          figure_table(this.plot, lines, this.context.units),
        ),
      ),
    );
  }

  private draw_onsets(): void {
    if (this.plot.onsets)
      this.onsets.replaceChildren(
        html(
          'div',
          { class: 'wide', tabindex: 0, role: 'region', 'aria-label': `${this.title}, onsets` },
          onset_table(this.plot.onsets, this.context.units),
        ),
      );
  }
}

export function plot_view(plot: Plot, context: Context): HTMLElement {
  return new PlotView(plot, context).element;
}
