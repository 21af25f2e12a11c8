// Where the pressure goes: in the ports, or in the gap that the shims leave. Ports that lose more than
// the gap choke, and shims then change little.

import type { ChokedPorts, Curve, CurvePoint, Maybe, Page } from '../data';
import { direction, letter } from '../words';
import { speed_axis } from './force';
import { has_figures, points_of, type Line, type Plot, type Region } from './model';

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
    const line = (title: string, look: number, read: (p: CurvePoint) => Maybe<number> | undefined): Line => ({
      name: title,
      look,
      points: points_of(curve.points, (p) => p.speed_m_s, read),
    });
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
        x: speed_axis,
        y: { name: 'pressure lost', quantity: 'pressure' as const },
        regions,
        lines: [
          line('piston, ports', 1, (p) => p.piston_port_loss_Pa),
          line('piston, under the face shim', 0, (p) => p.piston_curtain_loss_Pa),
          line('base, ports', 4, (p) => p.base_port_loss_Pa),
          line('base, under the face shim', 2, (p) => p.base_curtain_loss_Pa),
        ].filter(has_figures),
      },
    ];
  });
}
