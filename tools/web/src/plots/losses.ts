// Where the pressure goes: in the ports, or in the gap that the shims leave. Ports that lose more than
// the gap choke, and shims then change little.

import type { ChokedPorts, Curve, Page } from '../data';
import { direction, letter } from '../words';
import { speed_axis } from './force';
import { axis, column } from './columns';
import { has_figures, type Plot, type Region } from './model';

// From the speed on at which a valve's ports lead, to the end of the curve on that side.
function choked(curve: Curve, { valve, ports_lead_from_m_s: from }: ChokedPorts): Region[] {
  if (from === null) return [];
  const speeds = curve.points.map((p) => p.speed_m_s);
  const back = valve.endsWith('.rebound') || valve.endsWith('.refill');
  const region = back ? { from: Math.min(...speeds), to: -from } : { from, to: Math.max(...speeds) };
  return region.from < region.to ? [{ name: `${valve} chokes`, ...region }] : [];
}

export function loss_plots(page: Page): Plot[] {
  const several = page.setups.length > 1;
  return page.setups.flatMap(({ name, curve }) => {
    if (!curve) return [];
    const fields = page.fields.curve;
    const regions = curve.ports.flatMap((ports) => choked(curve, ports));
    return [
      {
        id: `losses-${name}`,
        of: letter(name, several),
        title: 'Where the pressure is lost',
        about: [
          curve.rule_of_ports,
          regions.length > 0
            ? `Shaded: ${regions.map((r) => `${r.name} on ${direction(r.to + r.from)}`).join('; ')}.`
            : 'None chokes up to the speeds shown.',
        ],
        x: speed_axis(page),
        y: axis(fields.piston_port_loss_Pa, { name: 'pressure lost' }),
        regions,
        lines: [
          column(fields, curve.points, 'speed_m_s', 'piston_port_loss_Pa', 1),
          column(fields, curve.points, 'speed_m_s', 'piston_curtain_loss_Pa', 0),
          column(fields, curve.points, 'speed_m_s', 'base_port_loss_Pa', 4),
          column(fields, curve.points, 'speed_m_s', 'base_curtain_loss_Pa', 2),
        ].filter(has_figures),
      },
    ];
  });
}
