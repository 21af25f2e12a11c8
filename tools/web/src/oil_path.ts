// Where the oil goes at one steady rod speed, and where the parts of the unit are at that travel.

import type { CurvePoint, Maybe, Unit } from './data';

export type Chamber = 'C' | 'R' | 'S';

export interface Flow {
  through: 'base' | 'piston';
  valve: Maybe<string>; // the place that opens; null: the unit has none there
  from: Chamber;
  to: Chamber;
  volume_m3_s: number;
}

function disc_area(diameter: number): number {
  return (Math.PI * diameter * diameter) / 4;
}

export function areas(unit: Unit) {
  const rod = disc_area(unit.rod_m);
  const piston = disc_area(unit.bore_m);
  return { rod, piston, annulus: piston - rod };
}

// What flows is in the data: the states of the links between the chambers. The stroke says which way.
export function flows(unit: Unit, point: CurvePoint): Flow[] {
  const back = point.speed_m_s < 0;
  const place = (name: string) => (unit.places.includes(name) ? name : null);
  return [
    {
      through: 'base',
      valve: place(back ? 'base.refill' : 'base.compression'),
      from: back ? 'S' : 'C',
      to: back ? 'C' : 'S',
      volume_m3_s: point.flow_base_m3_s ?? 0,
    },
    {
      through: 'piston',
      valve: place(back ? 'piston.rebound' : 'piston.compression'),
      from: back ? 'R' : 'C',
      to: back ? 'C' : 'R',
      volume_m3_s: point.flow_piston_m3_s ?? 0,
    },
  ];
}

export function pressure(point: CurvePoint, chamber: Chamber): Maybe<number> {
  return chamber === 'C' ? point.p_C_Pa : chamber === 'R' ? point.p_R_Pa : point.p_S_Pa;
}

// Lengths along the unit [m], from the base upwards; the rod leaves at the top. What the file does
// not give (thicknesses, how deep S is at full extension) is drawn, not computed.
export interface Lengths {
  C: number;
  piston: number;
  R: number;
  head: number;
  rod_out: number;
  base: number; // 0: no valve between C and S
  S: number; // depth of the oil of a reservoir in line
  S_room: number; // beyond it, up to the end of the tube
  around: boolean; // S lies around the tube instead
  level: number; // of the oil around the tube, from the base
  whole: number;
}

export function lengths(unit: Unit, travel: number): Lengths {
  const around = unit.layout === 'open_cartridge' || unit.layout === 'twin_tube';
  const part = 0.08 * unit.travel_m + 0.25 * unit.bore_m;
  const C = unit.dead_length_C_m + unit.travel_m - travel;
  const R = unit.dead_length_R_m + travel;
  const rod_out = unit.travel_m - travel + 0.08 * unit.travel_m;
  const has_base = around || unit.places.some((place) => place.startsWith('base.'));
  const base = has_base ? part : 0;
  const diameter = unit.reservoir.diameter_m ?? unit.bore_m;
  const taken_in = areas(unit).rod / disc_area(diameter);
  const most = Math.max(unit.reservoir.stroke_m ?? 0, taken_in * unit.travel_m);
  const S = around ? 0.9 * part : 0.5 * part + taken_in * travel;
  const S_room = around ? 0 : 1.6 * part + most - taken_in * travel;
  const tube = base + C + part + R;
  // The level at full extension is not in the data: drawn at seven tenths, rising with what the rod displaces.
  const outer = unit.reservoir.diameter_m ?? 1.6 * unit.bore_m;
  const gap = Math.max(disc_area(outer) - 1.2 * disc_area(unit.bore_m), 0.3 * disc_area(unit.bore_m));
  const level = Math.min(0.7 * tube + (areas(unit).rod * travel) / gap, 0.96 * tube);
  return {
    C,
    piston: part,
    R,
    head: part,
    rod_out,
    base,
    S,
    S_room,
    around,
    level,
    whole: S + S_room + tube + part + rod_out,
  };
}
