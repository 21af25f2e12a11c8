// Every plot of the page, in its order. A new plot is one more entry.

import { balance_plots } from './balance';
import { cycle_plots, dead_travel_plots, loop_plots } from './cycle';
import { adjuster_plots, fade_plots, wear_plots } from './families';
import { felt_force_plots, force_plots } from './force';
import { loss_plots } from './losses';
import { lift_plots } from './lift';
import type { PlotEntry } from './model';
import { deficit_plots, pressure_plots } from './pressures';
import { ride_plots } from './ride';
import { stress_plots } from './stress';
import { support_plots } from './support';
import { travel_plots } from './travel';

// The group that answers the question: it stands open, the others are folded away.
export const first_group = 'What answers first';

export const registry: PlotEntry[] = [
  { group: first_group, make: felt_force_plots },
  { group: first_group, make: force_plots },
  { group: first_group, make: deficit_plots },
  { group: 'In time', make: dead_travel_plots },
  { group: 'In time', make: loop_plots },
  { group: 'In time', make: cycle_plots },
  { group: 'Over the ground', make: ride_plots },
  { group: 'Damper', make: pressure_plots },
  { group: 'Damper', make: balance_plots },
  { group: 'Damper', make: travel_plots },
  { group: 'Valves', make: lift_plots },
  { group: 'Valves', make: loss_plots },
  { group: 'Valves', make: stress_plots },
  { group: 'Support', make: support_plots },
  { group: 'Adjusters', make: adjuster_plots },
  { group: 'Temperature and wear', make: fade_plots },
  { group: 'Temperature and wear', make: wear_plots },
];
