// What every part of the page is drawn from, and when it is drawn again. Kept in memory only: a page
// opened from disk may have no storage.

import type { Page } from './data';
import { dark, light, type Theme } from './theme';
import { metric, use_measures, type Choice } from './units';

const print_width = 690; // what A4 and letter both hold between their margins [CSS px]

export class Context {
  units: Choice;
  printing = false;
  private readonly parts: (() => void)[] = [];
  private readonly night = window.matchMedia('(prefers-color-scheme: dark)');
  private readonly widths = new WeakMap<Element, number>();

  constructor(readonly page: Page) {
    use_measures(page.measures);
    this.units = metric();
    this.night.addEventListener('change', () => this.draw());
    // Print is light and of a fixed width, whatever the screen is.
    window.addEventListener('beforeprint', () => {
      this.printing = true;
      this.draw();
    });
    window.addEventListener('afterprint', () => {
      this.printing = false;
      this.draw();
    });
  }

  get theme(): Theme {
    return this.night.matches && !this.printing ? dark : light;
  }

  // Draws a part now and whenever units, colours or the medium change.
  part(draw: () => void): void {
    this.parts.push(draw);
    draw();
  }

  // As part(), and when the width of its host changes. `columns`: hosts side by side when printed.
  sized_part(host: HTMLElement, draw: (width: number) => void, columns = 1): void {
    const width = () =>
      this.printing ? Math.floor((print_width - 16 * (columns - 1)) / columns) : Math.floor(host.clientWidth);
    const redraw = () => {
      const now = width();
      if (now > 0) draw(now);
      this.widths.set(host, now);
    };
    this.part(redraw);
    new ResizeObserver(() => {
      if (!this.printing && this.widths.get(host) !== width()) redraw();
    }).observe(host);
  }

  draw(): void {
    for (const part of this.parts) part();
  }

  set_units(change: Partial<Choice>): void {
    Object.assign(this.units, change);
    this.draw();
  }
}
