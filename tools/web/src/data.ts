// The data of a page, as `valve report` writes it. SI throughout; pressures absolute unless said.
// A null is a figure that the program could not or need not give: it is drawn as a gap.

import type { Measure, Quantity } from './units';

export type Maybe<T> = T | null;

export interface Page {
  page: number;
  program: string;
  theory: string;
  fields: Fields;
  measures: Measure[];
  answer: string[];
  cautions: string[];
  method: string[];
  setups: Setup[];
  comparison: Maybe<Comparison>;
  advice: Maybe<Advice>;
  search: Maybe<Search>;
  events: Record<string, string>; // names of the events that figures are of, by file
}

// How the program calls and reads a number.
export interface Field {
  words: string;
  heading: string;
  measure: Quantity | 'words';
  unit: string;
  decimals: number;
  missing?: string; // of figures: what is said where there is none
}

type FieldsOf<Row> = Record<keyof Row & string, Field>;

export interface Fields {
  curve: FieldsOf<CurvePoint>;
  onset: FieldsOf<VoidOnset>;
  ports: FieldsOf<ChokedPorts>;
  measured: FieldsOf<MeasuredPoint>;
  lift: FieldsOf<LiftPoint>;
  figures: Record<string, Field>;
  suggestion: FieldsOf<Suggestion>;
  search_answer: FieldsOf<SearchAnswer>;
}

/** A way to build, against a goal. */
export interface SearchAnswer {
  error_steps: Maybe<number>;
  changed_shims: number;
  swapped_parts: number; // sleeves and coils
  changed_springs: number; // main springs
}

/** With its shims, needles and spring. */
export interface Built extends SearchAnswer {
  words: string;
}

/** Of what `valve search FILE --goal … --drawer … --json` shows, what is drawn. */
export interface Search {
  drawer: string;
  drawer_title: string;
  today: Built;
  stacks: Built[];
  by_changed: Built[]; // each nearer than all with fewer parts changed
  sentences: string[];
}

/** A change, or two together, against a goal. */
export interface Suggestion {
  reached: number;
  missing: number;
  side_effect: number;
  effort: string;
  worth: number;
  meets: boolean;
  words: string;
}

/** With what it does in sentences. */
export interface Told extends Suggestion {
  gives: string;
  also: string;
}

/** Of what `valve advise FILE --goal … --json` shows, what is drawn. */
export interface Advice {
  goal_title: string;
  goal: string;
  lines: { words: string }[];
  met_today: boolean;
  changes: Told[];
  pairs: Told[];
  beside: Maybe<Told>[]; // the set-ups after the first
  sentences: string[];
  rule: string;
}

/** What `valve curve FILE --travels … --json` shows. */
export interface BalanceMap {
  map: { void_onset: (VoidOnset & { travel_m: number })[] };
  sentences: string[];
}

/** One cycle, its arrays as long as each other. */
export interface Series {
  travel_m: number[];
  force_N: number[];
  p_C_hPa: number[];
  p_R_hPa: number[];
  void_C_mm3: number[];
  void_R_mm3: number[];
  lift_um: Record<string, number[]>; // of each valve at its seat
}

/** Of what `valve cycle FILE --json` shows, what is drawn. */
export interface Cycle {
  frequency_Hz: Maybe<number>;
  stroke_m: number;
  dead_travel_compression_m: Maybe<number>;
  dead_travel_rebound_m: Maybe<number>;
  series: Maybe<Series>;
}

export interface Cycles {
  valves: string;
  cycles: Cycle[];
}

/** Of what `valve ride FILE --event … --json` shows, what is drawn. */
export interface RideSeries {
  time_s: number[];
  distance_m: number[];
  travel_m: number[];
  ground_m: number[]; // as the wheel sees it
  unsprung_m: number[]; // height of the wheel's lowest point
  sprung_m: number[]; // of the body, less that at the start
  wheel_load_N: number[];
  acceleration_m_s2: number[];
}

/** A number that sums a ride up. */
export interface RideMetric {
  words: string;
  measure: Quantity;
  value: number;
}

export interface Ride {
  event: string;
  about: string;
  metrics: RideMetric[];
  not_back: string[]; // where dead travel counts for nothing, in sentences that begin small
  by_time: boolean; // nothing is passed over: a landing
  wheel_radius_m: number;
  full_travel_m: Maybe<number>;
  ground: Maybe<{ distance_m: number[]; height_m: number[] }>; // what is rolled over
  series: Maybe<RideSeries>;
}

export interface Setup {
  name: string;
  inspect: Inspection;
  curve: Maybe<Curve>;
  support: Maybe<Support>;
  lift: Lift;
  families: Family[];
  fade: Maybe<Family>;
  wear: Maybe<Family>;
  map: Maybe<BalanceMap>;
  cycles: Maybe<Cycles>;
  rides: Ride[];
  unit: Maybe<Unit>;
  sections: Section[];
  build: Build;
  rider: string[];
  ride_warnings: string[]; // of ends of the travel that are met hard
  left_out: string[];
}

export interface Default {
  key: string;
  value: string;
}

export interface Adjuster {
  name: string;
  key: string;
  setting: Maybe<number>;
  of: Maybe<number>;
  steps: string;
}

export interface Inspection {
  title: string;
  file: string;
  layout: Maybe<string>;
  note: string;
  adjusters?: Adjuster[];
  defaults: Default[];
  warnings: string[];
}

export interface VoidOnset {
  compression_m_s: Maybe<number>;
  rebound_m_s: Maybe<number>;
  compression_searched_to_m_s: Maybe<number>; // where the search broke off
  rebound_searched_to_m_s: Maybe<number>;
  error: Maybe<string>;
}

export interface CurvePoint {
  speed_m_s: number;
  force_N: Maybe<number>;
  damping_force_N: Maybe<number>;
  static_force_N: Maybe<number>;
  p_C_Pa: Maybe<number>;
  p_R_Pa: Maybe<number>;
  p_S_Pa: Maybe<number>;
  dp_base_Pa: Maybe<number>;
  dp_piston_Pa: Maybe<number>;
  refill_deficit_Pa: Maybe<number>;
  balance_margin_Pa: Maybe<number>;
  share_base: Maybe<number>;
  void_growth_m3_s: Maybe<number>;
  cavitated: Maybe<string>;
  headroom_C_Pa: Maybe<number>;
  headroom_R_Pa: Maybe<number>;
  reservoir_friction_Pa: Maybe<number>;
  error: Maybe<string>;
  end_force_N: Maybe<number>;
  end_pressure_Pa: Maybe<number>;
  cup_empty: Maybe<boolean>;
  flow_piston_m3_s: Maybe<number>; // in the direction of the stroke, as the base's
  flow_base_m3_s: Maybe<number>;
  lift_piston_m: Maybe<number>;
  lift_base_m: Maybe<number>;
  piston_port_velocity_m_s: Maybe<number>;
  piston_port_reynolds: Maybe<number>;
  piston_port_loss_Pa: Maybe<number>;
  piston_curtain_velocity_m_s: Maybe<number>;
  piston_curtain_reynolds: Maybe<number>;
  piston_curtain_loss_Pa: Maybe<number>;
  base_port_velocity_m_s: Maybe<number>;
  base_port_reynolds: Maybe<number>;
  base_port_loss_Pa: Maybe<number>;
  base_curtain_velocity_m_s: Maybe<number>;
  base_curtain_reynolds: Maybe<number>;
  base_curtain_loss_Pa: Maybe<number>;
}

// A point of a family: what is drawn of it.
export type FamilyPoint = Pick<CurvePoint, 'speed_m_s' | 'damping_force_N' | 'cavitated' | 'error'>;

export interface ChokedPorts {
  valve: string;
  ports_lead_from_m_s: Maybe<number>;
  error: Maybe<string>;
}

export interface MeasuredPoint {
  speed_m_s: number;
  measured_N: Maybe<number>;
  measured_count: number;
  measured_way: Maybe<string>;
  predicted_N: Maybe<number>;
  difference_N: Maybe<number>;
  error: Maybe<string>;
}

export interface Measured {
  file: string;
  force: string;
  mean_difference_N: Maybe<number>;
  rms_difference_N: Maybe<number>;
  points: MeasuredPoint[];
}

export interface Curve {
  travel_m: number;
  rod_into: Maybe<string>;
  top_speed_m_s: number;
  void_onset: VoidOnset;
  void_onset_near_extension: VoidOnset;
  points: CurvePoint[];
  ports: ChokedPorts[];
  measured: Maybe<Measured>;
  rule_of_ports: string;
  warnings: string[]; // of the file, then those of `warned`
  warned: { speed_m_s: Maybe<number> }[];
  not_round?: { valve: string; over_ports: boolean; from_pressure_Pa: number; says: string }[]; // valves that are not round up to the top speed
}

export interface Family {
  sweep: { name: string; key: string };
  assumption: string;
  family: {
    setting: string;
    void_onset: VoidOnset;
    void_onset_near_extension: VoidOnset;
    points: FamilyPoint[];
    warnings: string[];
  }[];
}

export interface SupportPoint {
  travel_m: number;
  force_N: Maybe<number>;
  slope_N_m: Maybe<number>;
  spring_N: Maybe<number>;
  gas_N: Maybe<number>;
  reservoir_N: Maybe<number>;
  top_out_N: Maybe<number>;
  stop_N: Maybe<number>;
  energy_J: Maybe<number>;
  friction_N: Maybe<number>;
  error: Maybe<string>;
}

export interface Sag {
  force_N: Maybe<number>;
  travel_m: Maybe<number>;
  least_m: Maybe<number>;
  most_m: Maybe<number>;
  wheel_travel_m: Maybe<number>;
}

export interface Support {
  legs: number;
  travel_m: number;
  start_force_N: Maybe<number>;
  end_force_N: Maybe<number>;
  energy_J: Maybe<number>;
  friction_N: Maybe<number>;
  breakaway_N: Maybe<number>;
  sag: Maybe<Sag>;
  free_sag: Maybe<Sag>;
  ride_frequency_Hz: Maybe<number>;
  points: SupportPoint[];
  warnings: string[];
}

export interface LiftPoint {
  pressure_Pa: number;
  seat_lift_m: Maybe<number>;
  seat_lift_mid_port_m?: Maybe<number>; // where the shims lie over windows
  seat_lift_mid_land_m?: Maybe<number>;
  seat_lift_open_arcs_m?: Maybe<number>;
  seat_lift_crest_m: Maybe<number>; // of a shape that is not round
  seat_lift_trough_m: Maybe<number>;
  waves: Maybe<number>;
  linear_seat_lift_m: Maybe<number>;
  edge_lift_m: Maybe<number>;
  float_lift_m: Maybe<number>;
  seat_force_N: Maybe<number>;
  hub_force_N: Maybe<number>;
  stop_force_N: Maybe<number>;
  peak_stress_Pa: Maybe<number>;
  peak_stress_shim: Maybe<number>;
  peak_stress_radius_m: Maybe<number>;
  peak_stress_face: Maybe<string>;
  peak_stress_of_yield: Maybe<number>;
  peak_stress_of_fatigue: Maybe<number>;
  error: Maybe<string>;
}

type DrawnOfLift =
  | 'pressure_Pa'
  | 'seat_lift_m'
  | 'seat_lift_mid_port_m'
  | 'seat_lift_mid_land_m'
  | 'seat_lift_crest_m'
  | 'seat_lift_trough_m'
  | 'linear_seat_lift_m'
  | 'float_lift_m'
  | 'peak_stress_Pa'
  | 'peak_stress_of_yield'
  | 'peak_stress_of_fatigue'
  | 'error';

export interface LiftEvent {
  pressure_Pa: number;
  kind: string;
  shims: number[];
  radius_m: Maybe<number>;
}

export interface ValveLift {
  valve: string;
  edge: string;
  shape?: string; // "as it bends", or "round"
  crack_pressure_Pa: Maybe<number>;
  opening_pressure_Pa: Maybe<number>;
  float_start_pressure_Pa: Maybe<number>;
  set_pressure_Pa: Maybe<number>;
  set_shim: Maybe<number>;
  fatigue_pressure_Pa: Maybe<number>;
  fatigue_shim: Maybe<number>;
  waves_from_Pa?: Maybe<number>; // where the round shape buckles
  waves?: Maybe<number>;
  end_pressure_Pa: Maybe<number>;
  end_reason: Maybe<string>;
  points: Pick<LiftPoint, DrawnOfLift>[];
  events: LiftEvent[];
  error: Maybe<string>;
}

// A file with one valve alone has the valve's keys at the top level.
export type Lift = { valves: ValveLift[]; warnings?: string[] } | (ValveLift & { warnings?: string[] });

export type Layout = 'closed_cartridge' | 'open_cartridge' | 'monotube' | 'twin_tube';

export interface Unit {
  layout: Layout;
  bore_m: number;
  rod_m: number;
  travel_m: number;
  dead_length_C_m: number;
  dead_length_R_m: number;
  reservoir: {
    kind: 'spring_piston' | 'bladder' | 'gas_piston' | 'leg';
    diameter_m: Maybe<number>;
    stroke_m: Maybe<number>;
  };
  places: string[];
  cavitation_pressure_Pa: number;
}

export interface SectionShim {
  shim: number;
  outer_radius_m: number;
  thickness_m: number;
  spacer: boolean;
}

type BentShims = Maybe<{ radius_m: number[]; lift_m: Maybe<number>[] }>[];

// A stack that is not round: its shims at the middle of a port, or the crest of a wave, are those of the state;
// here are those half a pitch on, and the lift between.
export interface NotRound {
  over_ports: boolean;
  waves: number; // repeats round the ring
  first_lift_m: number; // at the seat
  last_lift_m: number;
  last_shims: BentShims;
  angle_rad: number[]; // from 0 to half a pitch
  ring_lift_m: Maybe<number>[]; // at the seat there
}

export interface SectionState {
  pressure_Pa: number; // on the face shim
  speed_m_s: Maybe<number>; // of the rod, that brings it about
  what: string;
  seat_lift_m: Maybe<number>; // the mean round the ring
  float_lift_m: Maybe<number>;
  shims: BentShims;
  not_round: Maybe<NotRound>;
}

export interface Section {
  valve: string;
  inner_radius_m: number;
  clamp_radius_m: Maybe<number>;
  clamped: boolean;
  zone: { inner_radius_m: number; outer_radius_m: number };
  seat: { inner_radius_m: number; outer_radius_m: number; height_m: number };
  ports: { count: number; area_m2: number; coverage: number };
  float: Maybe<{
    travel_m: number;
    spring_radius_m: Maybe<number>;
    stop_radius_m: Maybe<number>;
    rests_on: string;
  }>;
  disc: Maybe<{ radius_m: number }>;
  shims: SectionShim[];
  states: SectionState[];
  error: Maybe<string>;
}

export interface BuildLine {
  first: number;
  last: number;
  count: number;
  outer_diameter_m: number;
  thickness_m: number;
  part: string;
}

export interface BuildValve {
  valve: string;
  lines: BuildLine[];
  shim_count: number;
  stack_height_m: Maybe<number>;
  clamp_diameter_m: Maybe<number>; // of a clamped stack; the next two of a floated one
  stop_diameter_m: Maybe<number>;
  spring_diameter_m: Maybe<number>;
  changed: boolean;
  as_found: string;
  as_found_lines: BuildLine[];
  words: string;
  is_new: boolean;
  other_changes: ChangedKey[];
}

export interface BuildFigure {
  what: string;
  quantity: 'length' | 'volume' | 'pressure' | 'force' | 'rate' | 'count' | 'temperature' | 'viscosity';
  value: Maybe<number>;
  note: string;
  changed: boolean;
  as_found: Maybe<number>;
  is_new: boolean;
  sleeve_m: Maybe<number>; // that gives a float, and what lies on it
  shims_on_sleeve_m: Maybe<number>;
}

export interface ChangedKey {
  key: string;
  from: Maybe<string>;
  to: Maybe<string>;
  words: string; // of the bench
  step: string; // "60 → 0.8 N/mm"
}

export interface Build {
  valves: BuildValve[];
  figures: BuildFigure[];
  changes: ChangedKey[];
  reservoir: Maybe<{ kind: string; words: string; changed: boolean; comes_out: Maybe<string> }>;
  comes_out: Pick<BuildFigure, 'what' | 'quantity' | 'value'>[];
  valves_out: string[];
}

export interface ComparedFigure {
  quantity: string;
  speed_m_s: Maybe<number>;
  travel_share: Maybe<number>;
  event: Maybe<string>; // its file
}

export interface Comparison {
  top_speed_m_s: number;
  setups: {
    title: string;
    file: string;
    figures: (ComparedFigure & { value: Maybe<number>; error: Maybe<string>; not_back: Maybe<number> })[];
    warnings: string[];
  }[];
  changes: (ComparedFigure & {
    file: string;
    from: Maybe<number>;
    to: Maybe<number>;
    because: Maybe<string>;
  })[];
  changed_keys: (ChangedKey & { file: string })[];
  unchanged: (ComparedFigure & { file: string })[];
  rule: string;
  rule_of_order: string;
  rule_of_rides: Maybe<string>;
}

export function valves_of(lift: Lift): ValveLift[] {
  return 'valves' in lift ? lift.valves : [lift];
}
