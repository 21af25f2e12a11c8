// The one place where SI figures become what people read.

export const p_atm = 101325; // standard atmosphere [Pa]; gauge pressures count from it

export type Quantity =
  | 'speed'
  | 'force'
  | 'pressure'
  | 'gauge'
  | 'length'
  | 'rate'
  | 'energy'
  | 'volume'
  | 'flow'
  | 'area'
  | 'stress'
  | 'temperature'
  | 'viscosity'
  | 'frequency'
  | 'share'
  | 'count';

// What the reader chooses; every other unit follows from these.
export interface Choice {
  length: 'mm' | 'in';
  pressure: 'bar' | 'psi';
  force: 'N' | 'lbf';
  speed: 'm/s' | 'in/s';
  temperature: '°C' | '°F';
}

export const choices: { [K in keyof Choice]: [Choice[K], Choice[K]] } = {
  length: ['mm', 'in'],
  pressure: ['bar', 'psi'],
  force: ['N', 'lbf'],
  speed: ['m/s', 'in/s'],
  temperature: ['°C', '°F'],
};

export const trade_metric: Choice = {
  length: 'mm',
  pressure: 'bar',
  force: 'N',
  speed: 'm/s',
  temperature: '°C',
};

export interface Unit {
  name: string;
  per_SI: number; // shown = SI * per_SI + offset
  offset: number;
  decimals: number; // no more than these mean anything
}

const inch = 0.0254;
const pound_force = 4.4482216152605; // 0.45359237 kg * 9.80665 m/s²
const psi = pound_force / (inch * inch);
const foot_pound = pound_force * 12 * inch;

function unit(name: string, per_SI: number, decimals: number, offset = 0): Unit {
  return { name, per_SI, offset, decimals };
}

export function unit_of(quantity: Quantity, choice: Choice): Unit {
  const inches = choice.length === 'in';
  const pounds = choice.force === 'lbf';
  const pounds_an_inch = choice.pressure === 'psi';
  switch (quantity) {
    case 'speed':
      return choice.speed === 'in/s' ? unit('in/s', 1 / inch, 2) : unit('m/s', 1, 3);
    case 'force':
      return pounds ? unit('lbf', 1 / pound_force, 2) : unit('N', 1, 1);
    case 'pressure':
      return pounds_an_inch ? unit('psi', 1 / psi, 2) : unit('bar', 1e-5, 3);
    case 'gauge':
      return pounds_an_inch ? unit('psi gauge', 1 / psi, 2, -p_atm / psi) : unit('bar gauge', 1e-5, 3, -p_atm * 1e-5);
    case 'length':
      return inches ? unit('in', 1 / inch, 4) : unit('mm', 1e3, 3);
    case 'rate':
      return pounds ? unit('lbf/in', inch / pound_force, 2) : unit('N/mm', 1e-3, 2);
    case 'energy':
      return pounds ? unit('ft·lbf', 1 / foot_pound, 1) : unit('J', 1, 1);
    case 'volume':
      return inches ? unit('in³', 1 / inch ** 3, 3) : unit('ml', 1e6, 1);
    case 'flow':
      return inches ? unit('in³/s', 1 / inch ** 3, 3) : unit('ml/s', 1e6, 2);
    case 'area':
      return inches ? unit('in²', 1 / inch ** 2, 5) : unit('mm²', 1e6, 2);
    case 'stress':
      return pounds_an_inch ? unit('ksi', 1e-3 / psi, 1) : unit('MPa', 1e-6, 0);
    case 'temperature':
      return choice.temperature === '°F' ? unit('°F', 1.8, 1, -459.67) : unit('°C', 1, 1, -273.15);
    case 'frequency':
      return unit('Hz', 1, 2);
    case 'share':
      return unit('%', 100, 1);
    case 'viscosity':
      return unit('mm²/s', 1e6, 2);
    case 'count':
      return unit('', 1, 2);
  }
}

export function shown(value: number, unit: Unit): number {
  return value * unit.per_SI + unit.offset;
}

// Decimals that give `largest` the wanted significant digits, without more than its unit bears.
export function decimals_for(largest: number, unit: Unit, digits = 5): number {
  const before_point = largest > 0 ? Math.floor(Math.log10(largest)) + 1 : 1;
  return Math.min(Math.max(digits - before_point, 0), unit.decimals);
}

// A figure with a true minus sign, and no minus before a zero.
export function fixed(value: number, decimals: number): string {
  const text = Math.abs(value).toFixed(decimals);
  return value < 0 && Number(text) !== 0 ? `−${text}` : text;
}

const trimmed_quantities: Quantity[] = ['speed', 'length', 'area', 'count', 'temperature', 'viscosity'];

// One figure without its unit; sizes and settings lose trailing zeros ("0.15", "24").
export function figure(
  value: number,
  quantity: Quantity,
  choice: Choice,
  digits = 4,
  trim = trimmed_quantities.includes(quantity),
): string {
  const unit = unit_of(quantity, choice);
  const converted = shown(value, unit);
  const text = fixed(converted, decimals_for(Math.abs(converted), unit, digits));
  return trim && text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}

// Shims are named to the hundredth of a millimetre at least: "26 × 0.20".
export function thickness(value: number, choice: Choice): string {
  const least = choice.length === 'mm' ? 2 : 4;
  const text = figure(value, 'length', choice);
  return (text.split('.')[1] ?? '').length < least ? shown(value, unit_of('length', choice)).toFixed(least) : text;
}

const no_break = '\u00a0'; // a figure and its unit stay on one line

// A figure to set on the bench: no zeros that nobody sets.
export function setting(value: number | null, quantity: Quantity, choice: Choice): string {
  if (value === null) return '–';
  return `${figure(value, quantity, choice, 4, true)}${no_break}${unit_of(quantity, choice).name}`.trim();
}

export function with_unit(value: number | null | undefined, quantity: Quantity, choice: Choice): string {
  if (value === null || value === undefined || !Number.isFinite(value)) return '–';
  const name = unit_of(quantity, choice).name;
  return name === '' ? figure(value, quantity, choice) : `${figure(value, quantity, choice)}${no_break}${name}`;
}
