// Names of figures and places, as the program prints them.

import type { ComparedFigure } from './data';
import { with_unit, type Choice, type Quantity } from './units';

const figures: Record<string, [string, Quantity]> = {
  void_onset_rebound_m_s: ['voids on rebound from', 'speed'],
  void_onset_compression_m_s: ['voids on compression from', 'speed'],
  void_onset_near_extension_rebound_m_s: ['voids on rebound near full extension from', 'speed'],
  void_onset_near_extension_compression_m_s: ['voids on compression near full extension from', 'speed'],
  refill_deficit_Pa: ['refill deficit', 'pressure'],
  balance_negative_from_m_s: ['balance margin below 0 from', 'speed'],
  balance_margin_Pa: ['balance margin', 'pressure'],
  static_force_N: ['static force', 'force'],
  reservoir_friction_Pa: ['reservoir friction', 'pressure'],
  shims_set_from_m_s: ['shims that keep a set from', 'speed'],
  shims_life_from_m_s: ['shims bent beyond endless life from', 'speed'],
  rider_sag_m: ['sag with the rider', 'length'],
  free_sag_m: ['sag without the rider', 'length'],
  support_force_N: ['support of springs and gas', 'force'],
  support_energy_J: ['energy to full travel', 'energy'],
  headroom_C_Pa: ['headroom of C', 'pressure'],
  headroom_R_Pa: ['headroom of R', 'pressure'],
};

const by_ending: [string, Quantity][] = [
  ['_m_s', 'speed'],
  ['_N_m', 'rate'],
  ['_N', 'force'],
  ['_Pa', 'pressure'],
  ['_J', 'energy'],
  ['_m3_s', 'flow'],
  ['_m3', 'volume'],
  ['_m2', 'area'],
  ['_m', 'length'],
  ['_Hz', 'frequency'],
];

// A later figure that has no name here is still shown, by its key and the unit that ends the key.
function name_and_quantity(key: string): [string, Quantity] {
  const known = figures[key];
  if (known) return known;
  const ports = /^ports_lead_(base|piston)_(\w+)_m_s$/.exec(key);
  if (ports) return [`choked ports of ${ports[1]}.${ports[2]} from`, 'speed'];
  const ending = by_ending.find(([suffix]) => key.endsWith(suffix));
  if (!ending) return [key.replace(/_/g, ' '), 'count'];
  return [key.slice(0, -ending[0].length).replace(/_/g, ' '), ending[1]];
}

export function quantity_of(figure: ComparedFigure): Quantity {
  return name_and_quantity(figure.quantity)[1];
}

export function name_of(figure: ComparedFigure, units: Choice): string {
  if (figure.quantity === 'damping_force_N' && figure.speed_m_s !== null) {
    const way = figure.speed_m_s < 0 ? 'rebound' : 'compression';
    return `damping force on ${way} at ${with_unit(Math.abs(figure.speed_m_s), 'speed', units)}`;
  }
  let name = name_and_quantity(figure.quantity)[0];
  if (figure.speed_m_s !== null) name += ` at ${with_unit(Math.abs(figure.speed_m_s), 'speed', units)}`;
  if (figure.travel_share !== null) name += ` at ${Math.round(figure.travel_share * 100)} % travel`;
  return name;
}

// A speed that is not reached is "none"; any other missing figure a dash.
export function missing(figure: ComparedFigure): string {
  return quantity_of(figure) === 'speed' ? 'none' : '–';
}

export function direction(speed: number): string {
  return speed < 0 ? 'rebound' : 'compression';
}

// "A", "A and B", "A, B and C".
export function joined(names: string[]): string {
  return names.length > 1 ? `${names.slice(0, -1).join(', ')} and ${names[names.length - 1]}` : (names[0] ?? '');
}

// The letter of a set-up, wherever there are several.
export function letter(name: string, several: boolean): string[] | undefined {
  return several ? [name] : undefined;
}

// Set-ups are named by letter wherever there are several.
export function prefix(name: string, several: boolean): string {
  return several ? `${name}: ` : '';
}
