// The figures of the page are those of the program, in whatever units, on the page and in what is saved.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { after, before, describe, test } from 'node:test';
import { cells, plot_table, start, unfold, visit } from './browser.mjs';
import { clear, folder, fork, json, measured, read_back, report, softer } from './pages.mjs';

let browser;
let one;
let two;

before(async () => {
  one = report('one', '--round', fork, ...measured);
  two = report('two', '--round', fork, softer);
  browser = await start();
});

after(async () => {
  await browser?.stop();
  clear();
});

const on_page = (path, act) => visit(browser, path, act);

const switch_to = (page, unit) =>
  page
    .locator('.units label', { hasText: new RegExp(`^${unit.replace('/', '\\/')}$`) })
    .locator('input')
    .check();

const table = (page, caption) => cells(page.locator(`table:has(caption:text-is("${caption}"))`).first());

// Holds a column of a table to figures, within half of its last digit.
function assert_column(rows, column, figures, per_SI, what) {
  assert.equal(rows.length - 1, figures.length, what);
  figures.forEach((figure, i) => {
    const text = rows[i + 1][column];
    if (figure === null) return assert.equal(text, '–', what);
    const { value, half } = read_back(text);
    assert.ok(
      Math.abs(value - figure * per_SI) <= half * 1.0001,
      `${what}, row ${i}: ${text} for ${figure * per_SI}`,
    );
  });
}

describe('figures', () => {
  test('of the plots are those of the program', () =>
    on_page(one, async (page) => {
      const curve = json('curve', '--round', fork, ...measured);
      const of = (points, key) => points.map((point) => point[key]);
      const force = await plot_table(page, 'force');
      assert_column(force, 0, of(curve.points, 'speed_m_s'), 1, 'speeds');
      assert_column(force, 1, of(curve.points, 'damping_force_N'), 1, 'damping force');
      assert_column(force, 2, of(curve.points, 'force_N'), 1, 'total force');
      assert_column(
        await plot_table(page, 'force', 1),
        1,
        of(curve.measured.points, 'measured_N'),
        1,
        'measured force',
      );
      const pressures = await plot_table(page, 'pressures-A');
      ['p_C_Pa', 'p_R_Pa', 'p_S_Pa'].forEach((key, i) =>
        assert_column(
          pressures,
          i + 1,
          of(curve.points, key).map((p) => p - 101325),
          1e-5,
          key,
        ),
      );
      const rebound = curve.points.filter((point) => point.speed_m_s < 0);
      assert_column(await plot_table(page, 'deficit'), 1, of(rebound, 'refill_deficit_Pa'), 1e-5, 'refill deficit');
      const compression = curve.points.filter((point) => point.speed_m_s > 0);
      assert_column(
        await plot_table(page, 'balance-margin'),
        1,
        of(compression, 'balance_margin_Pa'),
        1e-5,
        'margin',
      );
      assert_column(await plot_table(page, 'share-base'), 1, of(compression, 'share_base'), 100, 'share');
      const support = json('support', fork);
      assert_column(await plot_table(page, 'support'), 1, of(support.points, 'force_N'), 1, 'support');
      assert_column(await plot_table(page, 'rate'), 1, of(support.points, 'slope_N_m'), 1e-3, 'rate');
      for (const lift of json('lift', '--round', fork).valves)
        assert_column(
          await plot_table(page, `lift-${lift.valve.replace('.', '-')}`),
          1,
          of(lift.points, 'seat_lift_m'),
          1e3,
          lift.valve,
        );
    }));

  test('of a comparison are those of the program', () =>
    on_page(two, async (page) => {
      const {
        setups: [a, b],
        changes,
      } = json('compare', '--round', fork, softer);
      const rows = (await table(page, 'Figures side by side')).slice(1);
      const per_SI = { m_s: 1, Pa: 1e-5, N: 1, J: 1, m: 1e3 };
      assert.equal(rows.length, a.figures.length);
      [a, b].forEach((setup, column) =>
        setup.figures.forEach((figure, i) => {
          const text = rows[i][column + 1];
          if (figure.value === null) return assert.ok(['none', '–'].includes(text), `${figure.quantity}: ${text}`);
          const unit = /_(m_s|Pa|N|J|m)$/.exec(figure.quantity)[1];
          const { value, half } = read_back(text);
          assert.ok(
            Math.abs(value - figure.value * per_SI[unit]) <= half * 1.0001,
            `${figure.quantity}: ${text} for ${figure.value}`,
          );
        }),
      );
      const changed_rows = (await table(page, 'What changed, what a rider notices most first')).slice(1);
      assert.deepEqual(
        changed_rows.map((row) => row[3]),
        changes.map((change) => change.because),
      );
    }));

  test('of one cycle are told at the same moment in all its plots', () =>
    on_page(two, async (page) => {
      await unfold(page);
      const moment = (id) => page.locator(`#plot-${id} .hover b`).textContent();
      await page.locator('#plot-refill .canvas').hover();
      await page.locator('#plot-refill .hover').waitFor();
      assert.match(await moment('refill'), /^part of the cycle: /);
      for (const id of ['cycle-force', 'cycle-rebound', 'cycle-lift-base-refill']) {
        await page.locator(`#plot-${id} .hover`).waitFor({ state: 'attached' });
        assert.equal(await moment(id), await moment('refill'), id);
      }
    }));

  test('go with the units that the reader chooses', () =>
    on_page(two, async (page) => {
      const before = await table(page, 'Figures side by side');
      const stays = page.locator('.units-note');
      assert.equal(await stays.isVisible(), false);
      for (const unit of ['in', 'psi', 'lbf', 'in/s', '°F']) await switch_to(page, unit);
      const now = await table(page, 'Figures side by side');
      // The inch is 25.4 mm and the pound-force 4.4482216152605 N by definition.
      const factors = {
        'm/s': ['in/s', 1 / 0.0254],
        bar: ['psi', (1e5 * 0.0254 ** 2) / 4.4482216152605],
        N: ['lbf', 1 / 4.4482216152605],
        mm: ['in', 1 / 25.4],
        J: ['ft·lbf', 1 / (4.4482216152605 * 0.3048)],
      };
      let checked = 0;
      before.slice(1).forEach((row, i) => {
        const unit = row[1].split(/\s/)[1];
        if (!unit) return;
        const [other, factor] = factors[unit];
        const [was, is] = [read_back(row[1]), read_back(now[i + 1][1])];
        assert.equal(now[i + 1][1].split(/\s/)[1], other);
        assert.ok(
          Math.abs(was.value * factor - is.value) <= 1.0001 * (was.half * factor + is.half),
          `${row} → ${now[i + 1]}`,
        );
        checked += 1;
      });
      assert.ok(checked > 20);
      // No figure drawn or tabled is left in the other units.
      await page.locator('details').evaluateAll((all) =>
        all.forEach((details) => {
          details.open = true;
        }),
      );
      const left = await page
        .locator('main .figure, main svg text, main output')
        .evaluateAll((all) =>
          all
            .map((element) => element.textContent)
            .filter((text) => /\d\s(bar|mm|N|m\/s|ml|J|N\/mm|mm²)(?![\w/·²])|\[(bar|mm|N|m\/s)/.test(text)),
        );
      assert.deepEqual(left, []);
      // Nor is a sentence of the build sheet; of the others the page says that they stay.
      assert.match(await stays.textContent(), /^Sentences stay in mm, bar, N, m\/s and °C;/);
      assert.equal(await stays.isVisible(), true);
      const sheets = (await page.locator('.sheet').allTextContents()).join('\n');
      assert.doesNotMatch(sheets, /\d\s(bar|mm|N|ml|N\/mm)(?![\w/·²])/);
      // The check plate of the second: from 0.8 to 1.2 mm of float by a sleeve of 1.40 mm, its coil from 60 to 0.8 N/mm.
      assert.match(sheets, /a sleeve of 0\.0551\sin under the stop gives it, with 0\.0079\sin of shims on it/);
      assert.match(sheets, /the check plate's coil: 342\.\d+ → 4\.57\slbf\/in/);
      assert.match(sheets, /As found: 2 \* 1\.024 x 0\.0138\sin/);
    }));
});

describe('taken along', () => {
  test('figures as CSV, a plot as PNG', () =>
    on_page(one, async (page) => {
      const plot = page.locator('#plot-force');
      const saved = async (button) => {
        const [download] = await Promise.all([
          page.waitForEvent('download'),
          plot.locator('button', { hasText: button }).click(),
        ]);
        const path = `${folder}/${download.suggestedFilename()}`;
        await download.saveAs(path);
        return readFileSync(path);
      };
      const [head, ...rows] = (await saved('CSV')).toString('utf8').trim().split('\r\n');
      assert.equal(
        head,
        '"rod speed, compression positive [m/s]","force, damping force [N]","force, total force [N]","force, measured, damping force [N]"',
      );
      for (const point of json('curve', '--round', fork).points) {
        const row = rows.map((each) => each.split(',')).find(([x]) => Number(x) === point.speed_m_s);
        assert.ok(Math.abs(Number(row[1]) - point.damping_force_N) <= 1e-9 * Math.abs(point.damping_force_N));
      }
      const picture = await saved('PNG');
      assert.equal(picture.toString('latin1', 1, 4), 'PNG');
      assert.deepEqual([picture.readUInt32BE(16), picture.readUInt32BE(20)], [2400, 1400]);
      assert.ok(picture.length > 30000); // an empty one has some 10 kB
    }));
});
