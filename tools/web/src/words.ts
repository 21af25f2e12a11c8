// Names of figures and places, as the program prints them.

import type { ComparedFigure, Field, Page } from './data';
import { quantity_of_field } from './plots/columns';
import { with_unit, type Choice, type Quantity } from './units';

function field_of(figure: ComparedFigure, page: Page): Field {
  const field = page.fields.figures[figure.quantity];
  if (!field) throw new Error(`the data have no words for ${figure.quantity}`);
  return field;
}

export function quantity_of(figure: ComparedFigure, page: Page): Quantity {
  return quantity_of_field(field_of(figure, page));
}

// A figure of one stroke says which.
export function name_of(figure: ComparedFigure, page: Page, units: Choice): string {
  let name = field_of(figure, page).words;
  if (figure.speed_m_s !== null && figure.quantity.includes('force'))
    name += ` on ${direction(figure.speed_m_s)}`;
  if (figure.speed_m_s !== null) name += ` at ${with_unit(Math.abs(figure.speed_m_s), 'speed', units)}`;
  if (figure.travel_share !== null) name += ` at ${Math.round(figure.travel_share * 100)} % travel`;
  if (figure.event !== null) name += ` (${page.events[figure.event] ?? figure.event})`;
  return name;
}

export function missing(figure: ComparedFigure, page: Page): string {
  return field_of(figure, page).missing ?? '–';
}

export function direction(speed: number): string {
  return speed < 0 ? 'rebound' : 'compression';
}

// "A", "A and B", "A, B and C".
export function joined(names: string[]): string {
  return names.length > 1 ? `${names.slice(0, -1).join(', ')} and ${names[names.length - 1]}` : (names[0] ?? '');
}

export function capital(sentence: string): string {
  return sentence.charAt(0).toUpperCase() + sentence.slice(1);
}

// The letter of a set-up, wherever there are several.
export function letter(name: string, several: boolean): string[] | undefined {
  return several ? [name] : undefined;
}

// Set-ups are named by letter wherever there are several.
export function prefix(name: string, several: boolean): string {
  return several ? `${name}: ` : '';
}
