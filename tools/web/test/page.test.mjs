// The page from disk, without any network: what it shows, and what it lets nobody do.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import { after, before, describe, test } from 'node:test';
import { open, start } from './browser.mjs';
import { changed, clear, file, folder, fork, json, measured, read_back, report, softer } from './pages.mjs';

let browser;
let one;
let two;

before(async () => {
  one = report('one', fork, ...measured);
  two = report('two', fork, softer);
  browser = await start();
});

after(async () => {
  await browser?.stop();
  clear();
});

// Opens, acts, and holds that nothing complained and nothing was asked of a network.
async function on_page(path, act) {
  const { page, complaints } = await open(browser.context, path);
  try {
    await act(page);
    assert.deepEqual(complaints, []);
    assert.deepEqual(browser.asked, []);
  } finally {
    await page.close();
  }
}

const switch_to = (page, unit) => page.locator('.units label', { hasText: new RegExp(`^${unit.replace('/', '\\/')}$`) }).locator('input').check();

async function table(page, selector) {
  return page.locator(selector).first().evaluate((element) => [...element.querySelectorAll('tr')]
    .map((row) => [...row.querySelectorAll('th, td')].map((cell) => cell.textContent)));
}

async function plot_table(page, id, at = 0) {
  const plot = page.locator(`#plot-${id}`);
  await plot.locator('details').evaluate((details) => { details.open = true; });
  await plot.locator('.as-table table').nth(at).waitFor({ state: 'attached' });
  return plot.locator('.as-table table').nth(at).evaluate((element) => [...element.querySelectorAll('tr')]
    .map((row) => [...row.querySelectorAll('th, td')].map((cell) => cell.textContent)));
}

// Holds a column of a table to figures, within half of its last digit.
function assert_column(rows, column, figures, per_SI, what) {
  assert.equal(rows.length - 1, figures.length, what);
  figures.forEach((figure, i) => {
    const text = rows[i + 1][column];
    if (figure === null) return assert.equal(text, '–', what);
    const { value, half } = read_back(text);
    assert.ok(Math.abs(value - figure * per_SI) <= half * 1.0001, `${what}, row ${i}: ${text} for ${figure * per_SI}`);
  });
}

describe('from disk', () => {
  test('opens, and every part is there', () => on_page(two, async (page) => {
    const titles = await page.locator('main > section > h2').allTextContents();
    assert.deepEqual(titles, ['The answer', 'Check before riding', 'The way of the oil', 'Plots', 'Valves in section',
                              'Figures', 'Build sheet', 'For the rider', 'How the numbers were made']);
    assert.equal(await page.locator('.failed').count(), 0);
    assert.ok(await page.locator('.plot').count() >= 12);
    // Every plot is drawn: lines or points beside its axes.
    for (const plot of await page.locator('.plot .canvas').all())
      assert.ok(await plot.locator('svg path').count() > 5);
  }));

  test('carries the licences of what it contains', () => {
    const text = readFileSync(one, 'utf8');
    for (const words of ['Apache License', 'BSD 3-Clause License', 'Apache ECharts', 'Mike Bostock'])
      assert.ok(text.includes(words), words);
  });

  test('holds no address to fetch from', () => {
    const text = readFileSync(one, 'utf8');
    assert.doesNotMatch(text, /<(script|link|img|iframe)[^>]+(src|href)=/i);
    assert.match(text, /default-src 'none'/);
  });
});

describe('figures', () => {
  test('of the plots are those of the program', () => on_page(one, async (page) => {
    const curve = json('curve', fork, ...measured);
    const of = (points, key) => points.map((point) => point[key]);
    const force = await plot_table(page, 'force');
    assert_column(force, 0, of(curve.points, 'speed_m_s'), 1, 'speeds');
    assert_column(force, 1, of(curve.points, 'damping_force_N'), 1, 'damping force');
    assert_column(force, 2, of(curve.points, 'force_N'), 1, 'total force');
    assert_column(await plot_table(page, 'force', 1), 1, of(curve.measured.points, 'measured_N'), 1, 'measured force');
    const pressures = await plot_table(page, 'pressures-A');
    ['p_C_Pa', 'p_R_Pa', 'p_S_Pa'].forEach((key, i) =>
      assert_column(pressures, i + 1, of(curve.points, key).map((p) => p - 101325), 1e-5, key));
    const rebound = curve.points.filter((point) => point.speed_m_s < 0);
    assert_column(await plot_table(page, 'deficit'), 1, of(rebound, 'refill_deficit_Pa'), 1e-5, 'refill deficit');
    const compression = curve.points.filter((point) => point.speed_m_s > 0);
    assert_column(await plot_table(page, 'balance-margin'), 1, of(compression, 'balance_margin_Pa'), 1e-5, 'margin');
    assert_column(await plot_table(page, 'share-base'), 1, of(compression, 'share_base'), 100, 'share');
    const support = json('support', fork);
    assert_column(await plot_table(page, 'support'), 1, of(support.points, 'force_N'), 1, 'support');
    assert_column(await plot_table(page, 'rate'), 1, of(support.points, 'slope_N_m'), 1e-3, 'rate');
    for (const lift of json('lift', fork).valves)
      assert_column(await plot_table(page, `lift-${lift.valve.replace('.', '-')}`), 1, of(lift.points, 'seat_lift_m'), 1e3, lift.valve);
  }));

  test('of a comparison are those of the program', () => on_page(two, async (page) => {
    const { setups: [a, b], changes } = json('compare', fork, softer);
    const rows = (await table(page, 'table:has(caption:text-is("Figures side by side"))')).slice(1);
    const per_SI = { m_s: 1, Pa: 1e-5, N: 1, J: 1, m: 1e3 };
    assert.equal(rows.length, a.figures.length);
    [a, b].forEach((setup, column) => setup.figures.forEach((figure, i) => {
      const text = rows[i][column + 1];
      if (figure.value === null) return assert.ok(['none', '–'].includes(text), `${figure.quantity}: ${text}`);
      const unit = /_(m_s|Pa|N|J|m)$/.exec(figure.quantity)[1];
      const { value, half } = read_back(text);
      assert.ok(Math.abs(value - figure.value * per_SI[unit]) <= half * 1.0001, `${figure.quantity}: ${text} for ${figure.value}`);
    }));
    const changed_rows = (await table(page, 'table:has(caption:text-is("What changed, what a rider notices most first"))')).slice(1);
    assert.deepEqual(changed_rows.map((row) => row[3]), changes.map((change) => change.because));
  }));

  test('go with the units that the reader chooses', () => on_page(two, async (page) => {
    const before = await table(page, 'table:has(caption:text-is("Figures side by side"))');
    for (const unit of ['in', 'psi', 'lbf', 'in/s', '°F']) await switch_to(page, unit);
    const now = await table(page, 'table:has(caption:text-is("Figures side by side"))');
    // The inch is 25.4 mm and the pound-force 4.4482216152605 N by definition.
    const factors = { 'm/s': ['in/s', 1 / 0.0254], bar: ['psi', 1e5 * 0.0254 ** 2 / 4.4482216152605], N: ['lbf', 1 / 4.4482216152605],
                      mm: ['in', 1 / 25.4], J: ['ft·lbf', 1 / (4.4482216152605 * 0.3048)] };
    let checked = 0;
    before.slice(1).forEach((row, i) => {
      const unit = row[1].split(' ')[1];
      if (!unit) return;
      const [other, factor] = factors[unit];
      const [was, is] = [read_back(row[1]), read_back(now[i + 1][1])];
      assert.equal(now[i + 1][1].split(' ')[1], other);
      assert.ok(Math.abs(was.value * factor - is.value) <= 1.0001 * (was.half * factor + is.half), `${row} → ${now[i + 1]}`);
      checked += 1;
    });
    assert.ok(checked > 20);
    // No figure drawn or tabled is left in the other units.
    await page.locator('details').evaluateAll((all) => all.forEach((details) => { details.open = true; }));
    const left = await page.locator('main .figure, main svg text, main output').evaluateAll((all) =>
      all.map((element) => element.textContent).filter((text) => /\d (bar|mm|N|m\/s|ml|J|N\/mm|mm²)(?![\w/·²])|\[(bar|mm|N|m\/s)/.test(text)));
    assert.deepEqual(left, []);
  }));
});

describe('by keyboard', () => {
  test('the speed, a pressure, a series, the zoom, a table and the units', () => on_page(one, async (page) => {
    const speed = page.locator('#oil-path input[type=range]');
    const said = page.locator('#oil-path output');
    const drawing = () => page.locator('#oil-path svg.unit').evaluate((svg) => svg.outerHTML);
    const [words, first] = [await said.textContent(), await drawing()];
    await speed.focus();
    await page.keyboard.press('ArrowRight');
    assert.notEqual(await said.textContent(), words);
    assert.notEqual(await drawing(), first);
    await page.keyboard.press('End');
    assert.match(await said.textContent(), /compression/);
    assert.equal(await speed.getAttribute('aria-valuetext'), await said.textContent());

    const section = page.locator('#sections figure').first();
    const at_rest = () => section.locator('svg').evaluate((svg) => svg.outerHTML);
    const bent = await at_rest();
    await section.locator('input[type=range]').focus();
    await page.keyboard.press('Home');
    assert.match(await section.locator('output').textContent(), /at rest/);
    assert.notEqual(await at_rest(), bent);

    const plot = page.locator('#plot-pressures-A');
    const lines = () => plot.locator('.canvas svg path').count();
    const all = await lines();
    await plot.locator('.legend input').first().focus();
    await page.keyboard.press('Space');
    assert.ok(await lines() < all);

    const labels = () => plot.locator('.canvas svg text').allTextContents();
    const whole = await labels();
    await plot.locator('button', { hasText: /^\+$/ }).focus();
    await page.keyboard.press('Enter');
    assert.notDeepEqual(await labels(), whole);
    await plot.locator('button', { hasText: 'all' }).focus();
    await page.keyboard.press('Enter');
    assert.deepEqual(await labels(), whole);

    await plot.locator('summary').focus();
    await page.keyboard.press('Enter');
    await plot.locator('.as-table td').first().waitFor();

    await page.locator('.units input[value=bar]').focus();
    await page.keyboard.press('ArrowRight');
    assert.match((await labels()).join(), /psi gauge/);
    assert.equal(await page.evaluate(() => document.activeElement.value), 'psi');
  }));
});

describe('taken along', () => {
  test('figures as CSV, a plot as PNG', () => on_page(one, async (page) => {
    const plot = page.locator('#plot-force');
    const saved = async (button) => {
      const [download] = await Promise.all([page.waitForEvent('download'), plot.locator('button', { hasText: button }).click()]);
      const path = `${folder}/${download.suggestedFilename()}`;
      await download.saveAs(path);
      return readFileSync(path);
    };
    const [head, ...rows] = (await saved('CSV')).toString('utf8').trim().split('\r\n');
    assert.equal(head, '"rod speed, compression positive [m/s]","force, damping force [N]","force, total force [N]","force, measured, damping force [N]"');
    for (const point of json('curve', fork).points) {
      const row = rows.map((each) => each.split(',')).find(([x]) => Number(x) === point.speed_m_s);
      assert.ok(Math.abs(Number(row[1]) - point.damping_force_N) <= 1e-9 * Math.abs(point.damping_force_N));
    }
    const picture = await saved('PNG');
    assert.equal(picture.toString('latin1', 1, 4), 'PNG');
    assert.deepEqual([picture.readUInt32BE(16), picture.readUInt32BE(20)], [2400, 1400]);
    assert.ok(picture.length > 30000); // an empty one has some 10 kB
  }));
});

describe('what a file says', () => {
  const evil = `</script><img src=x onerror=alert(1)>'"<!-- <script>alert(2)</script> & {a|b}`;

  test('stays text: titles and notes of a file', async () => {
    const path = file('evil.yaml', [
      'format: 1', `title: ${JSON.stringify(evil)}`, `from: ${fork}`, `note: ${JSON.stringify(evil)}`,
      'change:', '  oil.temperature: 30 C', ''].join('\n'));
    await on_page(report('evil', fork, path), async (page) => {
      assert.equal(await page.locator('img').count(), 0);
      assert.equal(await page.locator('script').count(), 2);
      assert.match(await page.locator('h1').textContent(), /<\/script><img src=x/);
      assert.ok((await page.title()).includes('<img src=x onerror=alert(1)>'));
    });
  });

  test('stays text: every string of the data, in drawings, plots and hover', () => on_page(
    changed(two, 'evil-data', (data) => {
      const spoil = (value, key) => {
        if (typeof value === 'string') return ['layout', 'kind', 'valve', 'quantity', 'cavitated'].includes(key) ? value : `${value} ${evil}`;
        if (Array.isArray(value)) return value.map((each) => spoil(each, key === 'places' ? 'valve' : key));
        if (value && typeof value === 'object') return Object.fromEntries(Object.entries(value).map(([k, v]) => [k, v && k === 'error' ? v : spoil(v, k)]));
        return value;
      };
      Object.assign(data, spoil(data));
      for (const setup of data.setups) for (const point of setup.curve.points) point.error = null;
    }), async (page) => {
      const plot = page.locator('.plot', { hasText: 'Fade' }).first();
      await plot.scrollIntoViewIfNeeded();
      await plot.locator('.canvas').hover();
      await page.locator('.hover').first().waitFor();
      assert.match(await page.locator('.hover').first().textContent(), /onerror/);
      assert.equal(await page.locator('img').count(), 0);
      assert.equal(await page.locator('script').count(), 2);
      const [download] = await Promise.all([page.waitForEvent('download'), plot.locator('button', { hasText: 'PNG' }).click()]);
      assert.match(download.suggestedFilename(), /^[\w.-]+\.png$/);
    }));
});

describe('what is missing', () => {
  test('is a gap, not a fault', () => on_page(
    changed(one, 'gaps', (data) => {
      const [setup] = data.setups;
      for (const i of [3, 4, 20]) {
        const point = setup.curve.points[i];
        for (const key of Object.keys(point)) if (key !== 'speed_m_s') point[key] = null;
        point.error = 'no state at this flow';
      }
      setup.support.points[2].force_N = null;
      setup.sections[0].states = [];
      setup.sections[0].error = 'no state at 3 bar';
      setup.sections[1].states[1].shims[0] = null;
      setup.lift.valves[0].points[5].seat_lift_m = null;
      setup.families[0].family[0].points = [];
      setup.fade = null;
    }), async (page) => {
      assert.equal(await page.locator('.failed').count(), 0);
      const rows = await plot_table(page, 'force');
      assert.equal(rows[4][1], '–');
      await page.locator('#oil-path input[type=range]').fill('3');
      assert.match(await page.locator('#oil-path').textContent(), /no state at this flow/);
      assert.match(await page.locator('#sections').textContent(), /no state at 3 bar/);
    }));

  test('a valve alone has neither oil path nor curve', async () => {
    const valve = file('valve.yaml', [
      'format: 1', 'title: One valve', 'valve:', '  ports: {count: 4, area: 24}', '  zone: {inner: 18, outer: 24}',
      '  seat: {inner: 24, outer: 25}', '  clamp: 12', '  shims: [26 x 0.2, 20 x 0.2]', ''].join('\n'));
    await on_page(report('valve', valve), async (page) => {
      assert.equal(await page.locator('.failed').count(), 0);
      assert.equal(await page.locator('#oil-path').count(), 0);
      assert.deepEqual(await page.locator('.plot h4').allTextContents(), ['Lift of valve', 'Stress in the shims']);
      assert.equal(await page.locator('#sections svg').count(), 1);
      assert.match(await page.locator('#method').textContent(), /Left out/);
    });
  });
});

describe('for everybody', () => {
  const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

  for (const [name, media, width] of [['light', 'light', 1280], ['dark, on a phone', 'dark', 390]]) {
    test(`axe finds nothing, ${name}`, () => on_page(two, async (page) => {
      await page.setViewportSize({ width, height: 900 });
      await page.emulateMedia({ colorScheme: media });
      await page.locator('#plot-force details, #method details').evaluateAll((all) => all.forEach((details) => { details.open = true; }));
      await page.locator('#plot-force td').first().waitFor({ state: 'attached' });
      await page.evaluate(axe);
      const { violations } = await page.evaluate(() => globalThis.axe.run(document, {
        resultTypes: ['violations'],
        runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] }));
      assert.deepEqual(violations.map(({ id, nodes }) => `${id}, ${nodes.length} times: ${nodes[0].html.slice(0, 200)}`), []);
    }));
  }

  test('nothing runs out of a narrow screen', () => on_page(two, async (page) => {
    await page.setViewportSize({ width: 320, height: 700 });
    assert.equal(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), true);
  }));
});
