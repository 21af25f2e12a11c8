// The bar at the top: where things are on the page, the units of every figure on it, and what is printed.

import type { Context } from './context';
import { html, new_id } from './dom';
import { choices, metric, units_to_choose, type Chosen } from './units';
import { joined } from './words';

function switch_of(context: Context, key: Chosen): HTMLElement {
  const name = new_id(key);
  return html(
    'fieldset',
    {},
    html('legend', { class: 'unseen' }, `Unit of ${key}`),
    ...units_to_choose(key).map((unit) => {
      const input = html('input', { type: 'radio', name, value: unit, checked: context.units[key] === unit });
      input.addEventListener('change', () => context.set_units({ [key]: unit }));
      return html('label', {}, input, html('span', {}, unit));
    }),
  );
}

export function units_bar(context: Context): HTMLElement {
  return html(
    'div',
    { class: 'units', role: 'group', 'aria-label': 'Units' },
    ...choices.map((key) => switch_of(context, key)),
  );
}

// What stays as the program writes it; only where other units are chosen, on paper too.
export function units_note(context: Context): HTMLElement {
  const usual = metric();
  const note = html('p', { class: 'about units-note' }, `Sentences stay in ${joined(Object.values(usual))}; tables, drawings, plots and the build sheet are in the units chosen.`);
  context.part(() => {
    note.hidden = choices.every((key) => context.units[key] === usual[key]);
  });
  return note;
}

// What a workshop takes to the bench; the rest is printed where somebody asks for it.
const printed_first = ['answer', 'check', 'change', 'drawer', 'build', 'rider'];

export function print_choice(parts: { title: string; section: HTMLElement }[]): HTMLElement {
  const boxes = parts.map(({ title, section }) => {
    const box = html('input', { type: 'checkbox', checked: printed_first.includes(section.id) });
    const mark = () => section.classList.toggle('not-printed', !box.checked);
    box.addEventListener('change', mark);
    mark();
    return html('label', {}, box, title);
  });
  const button = html('button', { type: 'button' }, 'Print');
  button.addEventListener('click', () => window.print());
  return html(
    'details',
    { class: 'to-print' },
    html('summary', {}, 'Print'),
    html('fieldset', {}, html('legend', {}, 'Parts to print'), ...boxes, button),
  );
}
