// Ways to build from what lies at hand: how near each comes, and how many shims it takes.

import type { Built, Page, Search, SearchAnswer } from '../data';
import { axis } from './columns';
import { has_figures, points_of, type Line, type Plot } from './model';

/** Shims that change, sleeves, coils and main springs that are exchanged. */
export function parts(of: SearchAnswer): number {
  return of.changed_shims + of.swapped_parts + of.changed_springs;
}

/** Whether it is about more than shims. */
export function swaps(search: Search): boolean {
  return [...search.stacks, ...search.by_changed].some(
    ({ swapped_parts, changed_springs }) => swapped_parts + changed_springs > 0,
  );
}

function line(name: string, look: number, all: Built[], rest: Partial<Line> = {}): Line {
  return {
    name,
    look,
    points: points_of(
      all,
      parts,
      (one) => one.error_steps,
    ),
    labels: all.map(({ words }) => words),
    ...rest,
  };
}

export function search_plot(page: Page, search: Search): Plot {
  const { error_steps, changed_shims } = page.fields.search_answer;
  return {
    id: 'built',
    title: 'How near, for how many shims',
    about: [
      'The lower, the nearer to the goal; the further to the left, the fewer shims change.',
      ...(swaps(search) ? ['A sleeve, a coil or a main spring counts as a shim.'] : []),
    ],
    x: axis(changed_shims, { from: 0 }),
    y: axis(error_steps, { from: 0 }),
    lines: [
      line('the best stacks', 0, search.stacks, {
        kind: 'points',
        marks: search.stacks.map((_, i) => String(i + 1)),
      }),
      line('the nearest with so many shims changed or fewer', 1, search.by_changed),
      line('as it is', 3, [search.today], { kind: 'points' }),
    ].filter(has_figures),
    scattered: true,
  };
}
