// The parts that need no browser.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { clear, fork, json, module_of } from './pages.mjs';

const page = json('report', fork, '--theory', 'linear');
clear();

// A module of the page, with the units that the program gives.
async function load(name) {
  const module = await module_of(name, ['units']);
  module.use_measures(page.measures);
  return module;
}

const close = (a, b, within) => assert.ok(Math.abs(a - b) <= within, `${a} is not ${b}`);
const metric = { length: 'mm', pressure: 'bar', force: 'N', speed: 'm/s', temperature: '°C' };
const inches = { length: 'in', pressure: 'psi', force: 'lbf', speed: 'in/s', temperature: '°F' };

test('units by their definitions', async () => {
  const { unit_of, shown } = await load('units');
  const in_inches = (value, quantity) => shown(value, unit_of(quantity, inches));
  // NIST SP 811 (2008), appendix B: 1 in = 2.54e-2 m, 1 lbf = 4.448222 N, 1 psi = 6.894757e3 Pa, 1 ft·lbf = 1.355818 J,
  // 1 lbf/in = 1.751268e2 N/m, 1 in³ = 1.638706e-5 m³; its digits from memory.
  close(in_inches(0.0254, 'length'), 1, 1e-15);
  close(in_inches(4.448222, 'force'), 1, 2e-7);
  close(in_inches(6894.757, 'pressure'), 1, 2e-7);
  close(in_inches(1.355818, 'energy'), 1, 5e-7);
  close(in_inches(175.1268, 'rate'), 1, 5e-7);
  close(in_inches(1.638706e-5, 'volume'), 1, 5e-7);
  close(in_inches(273.15 + 40, 'temperature'), 104, 1e-9);
  close(shown(101325, unit_of('gauge', metric)), 0, 1e-15);
  close(in_inches(101325, 'gauge'), 0, 1e-12);
});

test('figures keep their digits and their sign', async () => {
  const { figure, fixed, setting, thickness, with_unit } = await load('units');
  assert.equal(figure(0.00015, 'length', metric), '0.15');
  assert.equal(figure(0.024, 'length', metric), '24');
  assert.equal(thickness(0.0002, metric), '0.20');
  assert.equal(thickness(0.000125, metric), '0.125');
  assert.equal(with_unit(-1528.858, 'force', metric), '−1529\u00a0N');
  assert.equal(with_unit(123456, 'pressure', metric), '1.235\u00a0bar');
  assert.equal(with_unit(0.7479e-6, 'volume', metric), '0.75\u00a0ml');
  assert.equal(with_unit(0.0637e-6, 'volume', inches), '0.0039\u00a0in³');
  assert.equal(setting(365e-6, 'volume', metric), '365\u00a0ml');
  assert.equal(setting(60000, 'rate', metric), '60\u00a0N/mm');
  assert.equal(with_unit(null, 'force', metric), '–');
  assert.equal(with_unit(NaN, 'force', metric), '–');
  assert.equal(fixed(-0.0004, 2), '0.00');
});

test('of 36 lines no two look alike, and neighbours that share a colour have other dashes and symbols', async () => {
  const { colour_of, dash_of, dark, light, symbol_of } = await load('theme');
  for (const theme of [light, dark]) {
    const looks = Array.from({ length: 36 }, (_, look) => [colour_of(look, theme), String(dash_of(look)), symbol_of(look)]);
    assert.equal(new Set(looks.map(String)).size, 36);
    looks.slice(6).forEach(([colour, dash, symbol], i) => {
      assert.equal(colour, looks[i][0]);
      assert.notEqual(dash, looks[i][1]);
      assert.notEqual(symbol, looks[i][2]);
    });
  }
});

test('every colour of a line stands out from its ground', async () => {
  const { dark, light } = await load('theme');
  // Relative luminance and contrast: WCAG 2.1, definitions; graphics need 3:1 (success criterion 1.4.11).
  const luminance = (colour) => {
    const [r, g, b] = [1, 3, 5]
      .map((at) => parseInt(colour.slice(at, at + 2), 16) / 255)
      .map((c) => (c <= 0.03928 ? c / 12.92 : ((c + 0.055) / 1.055) ** 2.4));
    return 0.2126 * r + 0.7152 * g + 0.0722 * b;
  };
  for (const { ground, series } of [light, dark])
    for (const colour of series) {
      const [low, high] = [luminance(colour), luminance(ground)].sort((a, b) => a - b);
      assert.ok((high + 0.05) / (low + 0.05) >= 3, `${colour} on ${ground}: ${(high + 0.05) / (low + 0.05)}`);
    }
});

test('labels keep apart, in order and near', async () => {
  const { spread, wrapped } = await load('layout');
  const wanted = [30, 31, 32, 80, 200];
  const places = spread(wanted, 16, 0, 300);
  places.slice(1).forEach((place, i) => assert.ok(place - places[i] >= 16 - 1e-9));
  close(places[0] + places[1] + places[2], 93, 1e-9); // pooled about their mean
  assert.deepEqual(places.slice(3), [80, 200]);
  assert.ok(spread([295, 296], 16, 0, 300)[1] <= 300);
  assert.deepEqual(wrapped('through piston.rebound', 100), ['through', 'piston.rebound']);
});

test('axes end at round figures around what they hold', async () => {
  const { shifted, widened, zoomed } = await load('plots/scale');
  for (const [min, max] of [
    [-4, 4],
    [0, 0.0137],
    [-157.48, 157.48],
    [3, 3],
    [-0.813, 40.4],
  ]) {
    const axis = widened({ min, max }, 6);
    assert.ok(axis.min <= min + 1e-6 * axis.step && axis.max >= max - 1e-6 * axis.step);
    close(axis.min / axis.step, Math.round(axis.min / axis.step), 1e-9);
    assert.ok((axis.max - axis.min) / axis.step <= 14);
  }
  assert.equal(widened({ min: 0, max: 0 }, 6).min, 0); // nothing is no less than none
  const whole = { min: -4, max: 4 };
  assert.deepEqual(zoomed(whole, whole, 0.5), { min: -2, max: 2 });
  assert.deepEqual(zoomed({ min: 2, max: 4 }, whole, 2), { min: 0, max: 4 });
  assert.deepEqual(zoomed(whole, whole, 2), whole);
  assert.deepEqual(shifted({ min: 2, max: 4 }, whole, 1), { min: 2, max: 4 });
});

test('the oil path shows the flows of the program, in which oil is neither made nor lost', async () => {
  const { areas, flows } = await load('oil_path');
  const unit = page.setups[0].unit;
  const { rod, piston, annulus } = areas(unit);
  close(rod + annulus, piston, 1e-18);
  // In and out of C: what the piston sweeps, less a void.
  for (const point of page.setups[0].curve.points) {
    const growth = (chamber) => (point.cavitated === chamber ? point.void_growth_m3_s : 0);
    const [base, through] = flows(unit, point);
    const within = 1e-9 * piston * Math.abs(point.speed_m_s);
    const leaves_C = (flow) => (flow.from === 'C' ? flow.volume_m3_s : -flow.volume_m3_s);
    close(leaves_C(base) + leaves_C(through), piston * point.speed_m_s + growth('C'), within);
    const enters_R = through.to === 'R' ? through.volume_m3_s : -through.volume_m3_s;
    close(enters_R, annulus * point.speed_m_s - growth('R'), within);
    assert.deepEqual(
      [base.valve, through.valve],
      point.speed_m_s < 0 ? ['base.refill', 'piston.rebound'] : ['base.compression', 'piston.compression'],
    );
  }
  assert.equal(flows({ ...unit, places: [] }, page.setups[0].curve.points[0])[0].valve, null);
});

test('a void over a cycle is in view at every frequency that has one; where none has, the pressure says so', async () => {
  const { cycle_plots } = await load('plots/cycle');
  const { y_in_view } = await load('plots/scale');
  const plots = cycle_plots(page);
  const plot = (id) => plots.find((each) => each.id === id);
  const voids = page.setups[0].cycles.cycles.filter(({ series }) => series.void_C_mm3.some((value) => value > 0));
  assert.ok(voids.some(({ frequency_Hz }) => frequency_Hz !== 4)); // the demo fork holds a void at 12 Hz
  const shown = plot('cycle-void-C').lines.filter(({ hidden }) => !hidden);
  for (const { frequency_Hz } of voids) assert.ok(shown.some(({ name }) => name === `${frequency_Hz} Hz`));
  assert.equal(y_in_view(plot('cycle-void-C'), shown, { min: 0, max: 1 }).min, 0);
  assert.ok(!plot('refill').about.join().includes('No void'));
  const full = structuredClone(page);
  for (const { series } of full.setups[0].cycles.cycles) series.void_C_mm3 = series.void_C_mm3.map(() => 0);
  const others = cycle_plots(full);
  assert.equal(others.find(({ id }) => id === 'cycle-void-C'), undefined);
  assert.match(others.find(({ id }) => id === 'refill').about.join(' '), /No void forms in it/);
});

test('waves are shaded from where crests and troughs leave the mean, once for set-ups that begin alike', async () => {
  const { lift_plots } = await load('plots/lift');
  const bent = (name, from) => {
    const setup = structuredClone(page.setups[0]);
    const [lift] = setup.lift.valves;
    Object.assign(lift, { shape: 'as it bends', waves_from_Pa: 12.65e5, waves: 3, end_reason: null, error: null, events: [] });
    lift.points = [0, 5e5, 10e5, 11.6e5, 13e5].map((pressure_Pa) => ({
      ...lift.points[0],
      pressure_Pa,
      seat_lift_m: pressure_Pa * 1e-9,
      seat_lift_crest_m: pressure_Pa > from ? pressure_Pa * 1.1e-9 : null,
      seat_lift_trough_m: pressure_Pa > from ? pressure_Pa * 0.9e-9 : null,
    }));
    setup.name = name;
    setup.curve.not_round = [{ valve: lift.valve, over_ports: false, from_pressure_Pa: from, says: 'it bends into 3 waves' }];
    return setup;
  };
  const of = (...setups) => lift_plots({ ...page, setups })[0];
  const alone = of(bent('A', 10.68e5));
  assert.deepEqual(alone.regions, [{ name: 'in waves', from: 10.68e5, to: 13e5 }]);
  for (const words of ['crest', 'trough']) {
    const [first, second] = alone.lines.find(({ name }) => name.includes(words)).points;
    close(first[0], 10.68e5, 0);
    close(first[1], 10.68e5 * 1e-9, 1e-12); // the mean
    assert.equal(second[0], 11.6e5);
  }
  assert.deepEqual(
    of(bent('A', 10.68e5), bent('B', 10.68e5), bent('C', 9e5)).regions.map(({ name }) => name),
    ['A and B: in waves', 'C: in waves'],
  );
});

test('a CSV is one rectangle that a sheet can read', async () => {
  const { csv } = await load('plots/table');
  const plot = {
    id: 'p',
    title: 't',
    about: [],
    x: { name: 'speed', quantity: 'speed' },
    y: { name: 'force', quantity: 'force' },
    lines: [
      {
        name: 'a "b", c',
        look: 0,
        points: [
          [1, 2],
          [2, null],
        ],
      },
      { name: 'd', of: ['A', 'B'], look: 1, points: [[1.5, 4]] },
    ],
  };
  assert.equal(
    csv(plot, metric),
    '"speed [m/s]","force, a ""b"", c [N]","force, A and B: d [N]"\r\n1,2,\r\n1.5,,4\r\n2,,\r\n',
  );
});

test('half a pitch is mirrored and repeated round the ring, open arcs about its ports', async () => {
  const { open_arcs, round_the_ring } = await load('ring_picture');
  const third = Math.PI / 3;
  const points = round_the_ring({ waves: 3, angle_rad: [0, third / 2, third], ring_lift_m: [3, 2, 1] });
  assert.deepEqual(
    points.map(([, lift]) => lift),
    [3, 2, 1, 2, 3, 2, 1, 2, 3, 2, 1, 2, 3],
  );
  points.forEach(([angle], i) => close(angle, (i * third) / 2, 1e-12));
  const arcs = open_arcs(4, 0.5);
  assert.equal(arcs.length, 5);
  close(
    arcs.reduce((sum, [from, to]) => sum + to - from, 0),
    Math.PI, // half of the ring
    1e-12,
  );
  close(arcs[1][0], (3 / 8) * Math.PI, 1e-12);
});
