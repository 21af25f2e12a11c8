// The one place where SI figures become what people read.

// Units, what they are worth and how many digits they bear come with the data: the program has one table.

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
  | 'acceleration'
  | 'warming'
  | 'time'
  | 'distance'
  | 'share'
  | 'count'
  | 'noticed';

// What the reader chooses; every other unit follows from these.
export type Chosen = 'length' | 'pressure' | 'force' | 'speed' | 'temperature';
export type Choice = Record<Chosen, string>; // the name of its unit

export interface Unit {
  name: string;
  per_SI: number; // shown = SI * per_SI + offset
  offset: number;
  decimals: number; // no more than these mean anything
}

export interface Measure {
  measure: Quantity;
  choice: Chosen | null;
  trimmed: boolean; // sizes and settings lose trailing zeros ("0.15", "24")
  units: [Unit, Unit]; // metric first
}

const measures = new Map<Quantity, Measure>();
export const choices: Chosen[] = ['length', 'pressure', 'force', 'speed', 'temperature'];

export function use_measures(of_data: Measure[]): void {
  for (const each of of_data) measures.set(each.measure, each);
}

function measure_of(quantity: Quantity): Measure {
  const found = measures.get(quantity);
  if (!found) throw new Error(`the data know no unit of ${quantity}`);
  return found;
}

export function units_to_choose(chosen: Chosen): [string, string] {
  const [metric, inch] = measure_of(chosen).units;
  return [metric.name, inch.name];
}

export function metric(): Choice {
  return Object.fromEntries(choices.map((each) => [each, units_to_choose(each)[0]])) as Choice;
}

export function unit_of(quantity: Quantity, choice: Choice): Unit {
  const { choice: chosen, units } = measure_of(quantity);
  return units[chosen !== null && choice[chosen] === units_to_choose(chosen)[1] ? 1 : 0];
}

// The pressure that gauge pressures count from [Pa].
export function p_atm(): number {
  const [metric_gauge] = measure_of('gauge').units;
  return -metric_gauge.offset / metric_gauge.per_SI;
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

// One figure without its unit.
export function figure(
  value: number,
  quantity: Quantity,
  choice: Choice,
  digits = 4,
  trim = measure_of(quantity).trimmed,
): string {
  const unit = unit_of(quantity, choice);
  const converted = shown(value, unit);
  const text = fixed(converted, decimals_for(Math.abs(converted), unit, digits));
  return trim && text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}

// Shims are named to the hundredth of a millimetre at least: "26 × 0.20".
export function thickness(value: number, choice: Choice): string {
  const least = choice.length === units_to_choose('length')[0] ? 2 : 4;
  const text = figure(value, 'length', choice);
  return (text.split('.')[1] ?? '').length < least ? shown(value, unit_of('length', choice)).toFixed(least) : text;
}

// A value as a file has it, "60 N/mm", in the unit chosen; as it is where that is its unit, or where it has none of ours.
export function file_value(text: string, choice: Choice): string {
  const [, number, written] = /^([+-]?\d+(?:\.\d+)?(?:e[+-]?\d+)?) (\S+)$/.exec(text) ?? [];
  if (number === undefined) return text;
  const spelled: Record<string, string> = { C: '°C', F: '°F', mm2: 'mm²', in2: 'in²', in3: 'in³' };
  const name = spelled[written] ?? written;
  for (const { measure, choice: chosen, units } of measures.values()) {
    const unit = units.find((each) => each.name === name);
    if (!unit || chosen === null) continue;
    if (unit_of(measure, choice) === unit) return text;
    return setting((Number(number) - unit.offset) / unit.per_SI, measure, choice);
  }
  return text;
}

// A shim by its sizes, as it is written in a file where they are metric: "24 x 0.15".
export function shim_size(outer_diameter: number, of_thickness: number, choice: Choice): string {
  return `${figure(outer_diameter, 'length', choice)} x ${thickness(of_thickness, choice)}`;
}

// The unit of sizes that are told without one in a file.
export function size_unit(choice: Choice): string {
  const [metric_name] = units_to_choose('length');
  return choice.length === metric_name ? '' : `${no_break}${choice.length}`;
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
