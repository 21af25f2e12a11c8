// Changes against a goal: what each leaves of it, and what it costs elsewhere.

import type { Advice, Maybe, Page, Suggestion } from '../data';
import { joined } from '../words';
import { axis } from './columns';
import { points_of, type Line, type Plot } from './model';

interface Marked {
  mark: string;
  name: string;
  of: Suggestion;
}

function line(name: string, look: number, all: Marked[]): Line {
  return {
    name,
    look,
    kind: 'points',
    points: points_of(
      all,
      ({ of }) => of.side_effect,
      ({ of }) => of.missing,
    ),
    marks: all.map(({ mark }) => mark),
    labels: all.map(({ mark, name: what }) => `${mark}: ${what}`),
  };
}

// Changes bear the numbers of their tables.
function numbered(list: Suggestion[], first: number): Marked[] {
  return list.map((of, i) => ({ mark: String(first + i), name: of.words, of }));
}

export function beside(page: Page, { beside: all }: Advice): { name: string; title: string; told: Advice['beside'][number] }[] {
  return page.setups.slice(1).map((setup, i) => ({ name: setup.name, title: setup.inspect.title, told: all[i] ?? null }));
}

export function candidate_plot(page: Page, advice: Advice): Maybe<Plot> {
  if (advice.met_today) return null;
  const { missing, side_effect } = page.fields.suggestion;
  const others = beside(page, advice).flatMap(({ name, title, told }) => (told ? [{ mark: name, name: title, of: told }] : []));
  const lines = [
    line('single changes', 0, numbered(advice.changes, 1)),
    line('pairs', 1, numbered(advice.pairs, advice.changes.length + 1)),
    line(page.setups.length > 2 ? 'the other set-ups' : 'the other set-up', 2, others),
  ].filter(({ points }) => points.length > 0);
  if (lines.length === 0) return null;
  // A set-up that costs far more than any change would push all others together.
  const dearest = Math.max(0, ...[...advice.changes, ...advice.pairs].map((one) => one.side_effect));
  const outside = others.filter(({ of }) => dearest > 0 && of.side_effect > 1.5 * dearest).map(({ mark }) => mark);
  return {
    id: 'candidates',
    title: 'What is gained and what it costs',
    about: [
      'The lower, the nearer to the goal; the further to the left, the less else is felt. At 100 % the unit as it is.',
      ...(outside.length > 0 ? [`${joined(outside)} at first out of view, far to the right: press “all”.`] : []),
    ],
    x: axis(side_effect, outside.length > 0 ? { to: 1.1 * dearest } : {}),
    y: axis(missing, { from: 0 }),
    lines: [
      ...lines,
      { name: 'as it is', look: 3, kind: 'points', points: [[0, 1]], labels: ['as it is'] },
    ],
    scattered: true,
  };
}
