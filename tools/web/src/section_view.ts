// Valve half-sections on the page, bent by a pressure that the reader chooses.

import type { Context } from './context';
import type { Section, SectionState } from './data';
import { html, new_id } from './dom';
import { opening_speed } from './oil_path_view';
import { ring_picture } from './ring_picture';
import { section_drawing } from './section_drawing';
import { automatic, places, scale_for, scale_words } from './section_shape';
import { with_unit } from './units';
import { direction, joined } from './words';

interface Owned {
  names: string[]; // set-ups that have exactly this section
  section: Section;
}

// By valve; set-ups with the same section share a drawing.
function by_valve(context: Context): [string, Owned[]][] {
  const valves = new Map<string, Owned[]>();
  for (const { name, sections } of context.page.setups) {
    for (const section of sections) {
      const drawn = valves.get(section.valve) ?? [];
      const same = drawn.find((each) => JSON.stringify(each.section) === JSON.stringify(section));
      if (same) same.names.push(name);
      else drawn.push({ names: [name], section });
      valves.set(section.valve, drawn);
    }
  }
  return [...valves];
}

type Larger = 'auto' | '1' | '5';

// "1 m/s, rebound: 1.3 bar: lift at the seat 0.41 mm", "10 bar, crack: lift at the seat 0.41 mm", and where it is not round how uneven.
function lift_words({ pressure_Pa, speed_m_s, what, seat_lift_m, not_round }: SectionState, { units }: Context): string {
  const length = (lift: number | null) => with_unit(lift, 'length', units);
  const speed = speed_m_s === null ? '' : `${with_unit(Math.abs(speed_m_s), 'speed', units)}, ${direction(speed_m_s)}: `;
  const at = `${speed}${with_unit(pressure_Pa, 'pressure', units)}${what ? `, ${what}` : ''}: lift at the seat ${length(seat_lift_m)}`;
  if (!not_round) return at;
  const [first, last] = places(not_round);
  return `${at} in the mean, ${length(not_round.first_lift_m)} ${first}, ${length(not_round.last_lift_m)} ${last}`;
}

// What is drawn full and what dashed, where a state is not round.
function dashed_words(section: Section): string {
  const bent = section.states.find((state) => state.not_round)?.not_round;
  if (!bent) return '';
  const [first, last] = places(bent);
  return bent.over_ports
    ? `Bent over its ports: drawn full ${first}, the face shim dashed ${last}. `
    : `Where it bends into ${bent.waves} waves round the ring: drawn full ${first}, the face shim dashed ${last}. `;
}

// Opens at the speed that the way of the oil opens at; without speeds bent: the last state but one.
function first_state(states: SectionState[], opens_at: number): number {
  const off = ({ speed_m_s }: SectionState) => (speed_m_s === null ? Infinity : Math.abs(Math.abs(speed_m_s) - opens_at));
  const nearest = Math.min(...states.map(off));
  if (nearest < Infinity) return states.findIndex((state) => off(state) === nearest);
  return Math.max(states.length - 2, 0);
}

function one_section(context: Context, { names, section }: Owned, columns: number): HTMLElement {
  const several = context.page.setups.length > 1;
  const whose = several ? `${joined(names)}: ` : '';
  const id = new_id('pressure');
  const { states } = section;
  const control = html('input', {
    type: 'range',
    id,
    min: 0,
    max: Math.max(states.length - 1, 0),
    step: 1,
    value: first_state(states, Math.abs(opening_speed(context.page) ?? 1)),
  });
  const said = html('output', { for: id });
  const larger = html(
    'select',
    { id: new_id('larger') },
    html('option', { value: 'auto' }, 'auto'),
    html('option', { value: '1' }, '×1, true'),
    html('option', { value: '5' }, '×5'),
  );
  const host = html('div', { class: 'host' });
  const words = html('p', { class: 'about' });
  let width = 0;
  const draw = () => {
    const state = states[Number(control.value)] ?? null;
    const { units } = context;
    const factor = (larger.value as Larger) === 'auto' ? automatic(section) : Number(larger.value);
    const lift = state ? lift_words(state, context) : '';
    said.textContent = lift;
    control.setAttribute('aria-valuetext', lift);
    words.textContent =
      `Shims numbered from the piston face. ${scale_words(units)} ${dashed_words(section)}` +
      (factor === 1 ? 'Lifts to scale. ' : `Lifts, land and gap drawn ×${factor}, all else to scale. `) +
      `${section.ports.count} ports of ${with_unit(section.ports.area_m2, 'area', units)}, ${Math.round(section.ports.coverage * 100)} % of the ring open.` +
      (section.error ? ` No bent shape: ${section.error}` : '');
    if (width > 0)
      host.replaceChildren(
        section_drawing(
          section,
          state,
          { scale: scale_for(section, units, width), larger: factor },
          context,
          width,
          `${whose}half-section of ${section.valve}${lift ? ` at ${lift}` : ''}`,
        ),
        ...ring_picture(section, state, context, width, `${whose}lift of ${section.valve} round the ring`),
      );
  };
  control.addEventListener('input', draw);
  larger.addEventListener('change', draw);
  context.sized_part(
    host,
    (now) => {
      width = now;
      draw();
    },
    columns,
  );
  return html(
    'figure',
    { class: 'section-figure' },
    several ? html('figcaption', {}, html('b', {}, `${joined(names)}${names.length > 1 ? ', alike' : ''}`)) : null,
    states.length > 1
      ? html(
          'div',
          { class: 'control' },
          html('label', { for: id }, states.some(({ speed_m_s }) => speed_m_s !== null) ? 'Speed' : 'Pressure'),
          control,
          said,
          html('label', { for: larger.id, class: 'screen' }, 'lifts drawn'),
          larger,
        )
      : null,
    host,
    words,
  );
}

export function valve_sections(context: Context): HTMLElement | null {
  const valves = by_valve(context);
  if (valves.length === 0) return null;
  // Two drawings fit beside each other: of two valves, or of two set-ups that differ in one.
  return html(
    'div',
    { class: 'pair' },
    ...valves.map(([valve, owned]) =>
      html(
        'section',
        { class: owned.length > 1 ? 'valve whole-row' : 'valve', 'aria-label': `half-sections of ${valve}` },
        html('h3', {}, valve),
        html(
          'div',
          { class: owned.length > 1 ? 'pair' : null },
          ...owned.map((each) => one_section(context, each, 2)),
        ),
      ),
    ),
  );
}
