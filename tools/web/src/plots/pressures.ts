// Chamber pressures: where oil is short, and from which speed on a chamber holds a void.

import type { Curve, CurvePoint, Maybe, Page, Unit } from '../data';
import { letter } from '../words';
import { speed_axis } from './force';
import { axis, column } from './columns';
import { has_figures, type Band, type Level, type Plot, type Region } from './model';

// The speeds at which a chamber holds a void; an end that lies between two points is the onset, where
// the program found one there.
function void_regions(curve: Curve): Region[] {
  const regions: Region[] = [];
  const { points } = curve;
  const onsets = [
    curve.void_onset.compression_m_s,
    curve.void_onset.rebound_m_s === null ? null : -curve.void_onset.rebound_m_s,
  ];
  const end = (inside: CurvePoint, outside: CurvePoint | undefined): number => {
    if (!outside) return inside.speed_m_s;
    const low = Math.min(inside.speed_m_s, outside.speed_m_s);
    const high = Math.max(inside.speed_m_s, outside.speed_m_s);
    return onsets.find((onset) => onset !== null && onset >= low && onset <= high) ?? inside.speed_m_s;
  };
  for (let first = 0; first < points.length; first += 1) {
    const chamber = points[first].cavitated;
    if (!chamber) continue;
    let last = first;
    while (last + 1 < points.length && points[last + 1].cavitated === chamber) last += 1;
    regions.push({
      name: `void in ${chamber}`,
      from: end(points[first], points[first - 1]),
      to: end(points[last], points[last + 1]),
    });
    first = last;
  }
  return regions;
}

function void_level(unit: Maybe<Unit>): Level[] {
  return unit ? [{ name: 'a void forms', y: unit.cavitation_pressure_Pa }] : [];
}

// One band for each stretch without a gap.
function deficit_bands(points: CurvePoint[], name: string): Band[] {
  const bands: Band[] = [{ name, between: [] }];
  for (const { speed_m_s, p_C_Pa, p_S_Pa } of points) {
    if (p_C_Pa === null || p_S_Pa === null) bands.push({ name, between: [] });
    else bands[bands.length - 1].between.push({ x: speed_m_s, low: p_C_Pa, high: p_S_Pa });
  }
  return bands.filter(({ between }) => between.length > 1);
}

export function pressure_plots(page: Page): Plot[] {
  const several = page.setups.length > 1;
  const fields = page.fields.curve;
  const y = axis(fields.p_C_Pa, { name: 'pressure' });
  const plots: Plot[] = [];
  for (const { name, curve, unit } of page.setups) {
    if (!curve) continue;
    const of = letter(name, several);
    plots.push({
      id: `pressures-${name}`,
      of,
      title: 'Chamber pressures',
      about: ['Of the oil in the chambers, above the atmosphere.'],
      x: speed_axis(page),
      y,
      regions: void_regions(curve),
      levels: void_level(unit),
      lines: [
        column(fields, curve.points, 'speed_m_s', 'p_C_Pa', 0),
        column(fields, curve.points, 'speed_m_s', 'p_R_Pa', 1),
        column(fields, curve.points, 'speed_m_s', 'p_S_Pa', 2),
      ].filter(has_figures),
    });
    const rebound = curve.points.filter((p) => p.speed_m_s < 0);
    if (rebound.length === 0) continue;
    plots.push({
      id: `refill-${name}`,
      of,
      title: 'Refill on rebound',
      about: [
        'The shaded band between reservoir and chamber is the refill deficit: what the oil loses on its ' +
          'way back in. Once C lies on the line below, oil is short and a void grows.',
      ],
      x: speed_axis(page, { name: 'rod speed, rebound' }),
      y,
      bands: deficit_bands(rebound, fields.refill_deficit_Pa.words),
      regions: void_regions(curve).filter((region) => region.to < 0),
      levels: void_level(unit),
      lines: [
        column(fields, rebound, 'speed_m_s', 'p_S_Pa', 2),
        column(fields, rebound, 'speed_m_s', 'p_C_Pa', 0),
      ].filter(has_figures),
    });
  }
  return plots;
}

export function deficit_plots(page: Page): Plot[] {
  const several = page.setups.length > 1;
  const fields = page.fields.curve;
  const lines = page.setups
    .flatMap(({ name, curve }, look) => {
      if (!curve) return [];
      // Over the speed itself, which on rebound is negative.
      const rebound = curve.points.filter((p) => p.speed_m_s < 0).map((p) => ({ ...p, speed_m_s: -p.speed_m_s }));
      const of = letter(name, several);
      return [
        column(fields, rebound, 'speed_m_s', 'refill_deficit_Pa', look, { of }),
        column(fields, rebound, 'speed_m_s', 'reservoir_friction_Pa', look, { of, dash: 2 }),
      ];
    })
    .filter(has_figures);
  return [
    {
      id: 'deficit',
      title: 'Refill deficit',
      about: [
        'Reservoir pressure less the pressure behind the piston, on rebound. It rises no further once the ' +
          'chamber holds a void. Friction of a reservoir piston lowers the reservoir itself and comes on top.',
      ],
      x: axis(fields.speed_m_s, { name: 'rebound speed' }),
      y: axis(fields.refill_deficit_Pa, { name: 'pressure' }),
      lines,
    },
  ];
}
