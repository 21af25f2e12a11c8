// The bar at the top: where things are on the page, and the units of every figure on it.

import type { Context } from './context';
import { html, new_id } from './dom';
import { choices, type Choice } from './units';

function switch_of<K extends keyof Choice>(context: Context, key: K): HTMLElement {
  const name = new_id(key);
  return html(
    'fieldset',
    {},
    html('legend', { class: 'unseen' }, `Unit of ${key}`),
    ...choices[key].map((unit) => {
      const input = html('input', { type: 'radio', name, value: unit, checked: context.units[key] === unit });
      input.addEventListener('change', () => context.set_units({ [key]: unit }));
      return html('label', {}, input, html('span', {}, unit));
    }),
  );
}

export function units_bar(context: Context): HTMLElement {
  const keys = Object.keys(choices) as (keyof Choice)[];
  return html(
    'div',
    { class: 'units', role: 'group', 'aria-label': 'Units' },
    ...keys.map((key) => switch_of(context, key)),
  );
}
