// The page from disk, without any network: what it shows, and what it lets nobody do.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { after, before, describe, test } from 'node:test';
import { plot_table, start, violations, unfold, visit } from './browser.mjs';
import { changed, clear, file, fork, measured, report, softer } from './pages.mjs';

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

describe('from disk', () => {
  test('opens, and every part is there', () =>
    on_page(two, async (page) => {
      const titles = await page.locator('main > section > h2').allTextContents();
      assert.deepEqual(titles, [
        'The answer',
        'Check before riding',
        'The way of the oil',
        'Plots',
        'Valves in section',
        'Figures',
        'Build sheet',
        'For the rider',
        'How the numbers were made',
      ]);
      assert.equal(await page.locator('.failed').count(), 0);
      // What answers first stands open, the rest is folded away.
      assert.deepEqual(
        await page.locator('#plots > .plots > .plot').evaluateAll((all) => all.map((plot) => plot.id)),
        ['plot-felt-force', 'plot-force', 'plot-deficit'],
      );
      assert.match((await page.locator('.fold > summary').allTextContents()).join(' '), /Alike in A and B/);
      await unfold(page);
      assert.ok((await page.locator('.plot').count()) >= 12);
      // Every plot is drawn: lines or points beside its axes.
      for (const plot of await page.locator('.plot .canvas').all())
        assert.ok((await plot.locator('svg path').count()) > 5);
    }));

  test('says on the build sheet what holds each stack from behind', () =>
    on_page(one, async (page) => {
      const sums = await page.locator('#build .stack .sum').allTextContents();
      assert.equal(sums.length, 4);
      const [base, refill, check, rebound] = sums;
      assert.match(base, /, clamp Ø 12\smm$/);
      assert.match(refill, /high, stop Ø 18\smm, coil at Ø 18\smm$/);
      assert.match(check, /high, stop Ø 9\smm, coil at Ø 9\smm$/);
      assert.match(rebound, /, clamp Ø \d+\smm$/);
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

describe('by keyboard', () => {
  test('the speed, a pressure, a series, the zoom, a table and the units', () =>
    on_page(one, async (page) => {
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

      // Opens at the speed of the oil path, or the nearest that is drawn, with what that brings on the valve.
      const opened = await page.locator('#sections figure', { has: page.locator('[aria-label*="piston.rebound"]') }).first().locator('output').textContent();
      assert.match(opened, /^1\sm\/s, rebound: \d+\.\d+\sbar: lift at the seat/);
      const section = page.locator('#sections figure').first();
      const at_rest = () => section.locator('svg').evaluate((svg) => svg.outerHTML);
      const bent = await at_rest();
      await section.locator('input[type=range]').focus();
      await page.keyboard.press('Home');
      assert.match(await section.locator('output').textContent(), /at rest/);
      assert.notEqual(await at_rest(), bent);

      await unfold(page);
      const plot = page.locator('#plot-pressures-A');
      const lines = () => plot.locator('.canvas svg path').count();
      const all = await lines();
      await plot.locator('.legend input').first().focus();
      await page.keyboard.press('Space');
      assert.ok((await lines()) < all);

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

describe('what a file says', () => {
  const evil = `</script><img src=x onerror=alert(1)>'"<!-- <script>alert(2)</script> & {a|b}`;

  test('stays text: titles and notes of a file', async () => {
    const path = file(
      'evil.yaml',
      [
        'format: 1',
        `title: ${JSON.stringify(evil)}`,
        `from: ${fork}`,
        `note: ${JSON.stringify(evil)}`,
        'change:',
        '  oil.temperature: 30 C',
        '',
      ].join('\n'),
    );
    await on_page(report('evil', '--round', path, fork), async (page) => {
      assert.equal(await page.locator('img').count(), 0);
      assert.equal(await page.locator('script').count(), 2);
      assert.match(await page.locator('h1').textContent(), /<\/script><img src=x/);
      assert.ok((await page.title()).includes('<img src=x onerror=alert(1)>'));
    });
  });

  test('stays text: every string of the data, in drawings, plots and hover', () =>
    on_page(
      changed(two, 'evil-data', (data) => {
        const spoil = (value, key) => {
          if (typeof value === 'string')
            return ['layout', 'kind', 'valve', 'quantity', 'cavitated', 'measure', 'choice'].includes(key) ? value : `${value} ${evil}`;
          if (Array.isArray(value)) return value.map((each) => spoil(each, key === 'places' ? 'valve' : key));
          if (value && typeof value === 'object')
            return Object.fromEntries(
              Object.entries(value).map(([k, v]) => [k, v && k === 'error' ? v : spoil(v, k)]),
            );
          return value;
        };
        Object.assign(data, spoil(data));
        for (const setup of data.setups) for (const point of setup.curve.points) point.error = null;
      }),
      async (page) => {
        await unfold(page);
        const plot = page.locator('.plot', { hasText: 'Fade' }).first();
        await plot.scrollIntoViewIfNeeded();
        await plot.locator('.canvas').hover();
        await page.locator('.hover').first().waitFor();
        assert.match(await page.locator('.hover').first().textContent(), /onerror/);
        assert.equal(await page.locator('img').count(), 0);
        assert.equal(await page.locator('script').count(), 2);
        const [download] = await Promise.all([
          page.waitForEvent('download'),
          plot.locator('button', { hasText: 'PNG' }).click(),
        ]);
        assert.match(download.suggestedFilename(), /^[\w.-]+\.png$/);
      },
    ));
});

describe('what is missing', () => {
  test('is a gap, not a fault', () =>
    on_page(
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
      }),
      async (page) => {
        assert.equal(await page.locator('.failed').count(), 0);
        const rows = await plot_table(page, 'force');
        assert.equal(rows[4][1], '–');
        await page.locator('#oil-path input[type=range]').fill('3');
        assert.match(await page.locator('#oil-path').textContent(), /no state at this flow/);
        assert.match(await page.locator('#sections').textContent(), /no state at 3 bar/);
      },
    ));

  // A file of one valve, over ports of which `ports` says how large they are.
  const valve_alone = (name, ports) =>
    file(
      `${name}.yaml`,
      [
        'format: 1',
        'title: One valve',
        'valve:',
        `  ports: {count: 4, ${ports}}`,
        '  zone: {inner: 18, outer: 24}',
        '  seat: {inner: 24, outer: 25}',
        '  clamp: 12',
        '  shims: [26 x 0.2, 20 x 0.2]',
        '',
      ].join('\n'),
    );

  test('a valve alone has neither oil path nor curve', async () => {
    const valve = valve_alone('valve', 'area: 24');
    await on_page(report('valve', valve), async (page) => {
      assert.equal(await page.locator('.failed').count(), 0);
      assert.equal(await page.locator('#oil-path').count(), 0);
      assert.deepEqual(await page.locator('.plot h4').allTextContents(), ['Lift of valve', 'Stress in the shims']);
      assert.equal(await page.locator('#sections svg:not(.ring)').count(), 1);
      assert.match(await page.locator('#method').textContent(), /Left out/);
    });
  });

  test('a valve over windows is drawn at mid-port and mid-land, with its lift round the ring', async () => {
    const over_windows = (name, arc) => valve_alone(name, `inner: 18, outer: 24, arc: ${arc} deg`);
    await on_page(report('windows', over_windows('half', 45)), async (page) => {
      assert.equal(await page.locator('.failed').count(), 0);
      const figure = page.locator('#sections figure');
      assert.match(await figure.locator('output').textContent(), /in the mean, .* at mid-port, .* at mid-land/);
      assert.equal(await figure.locator('.shim-last').count(), 1);
      const ring = figure.locator('svg.ring');
      assert.equal(await ring.locator('.ring-lift:not(.other)').count(), 1);
      assert.equal(await ring.locator('.port').count(), 5); // the first stands at both ends
      assert.match(await figure.textContent(), /Lift at the seat round the ring: strong at .*bar, its mean dashed/);
      // No label lies on another, nor beyond the picture.
      for (const svg of await figure.locator('svg').all()) {
        const [frame, boxes] = await svg.evaluate((each) => {
          const box = (element) => {
            const { left, right, top, bottom } = element.getBoundingClientRect();
            return { left, right, top, bottom };
          };
          return [box(each), [...each.querySelectorAll('text')].map(box)];
        });
        boxes.forEach((a, i) => {
          assert.ok(a.left >= frame.left - 0.5 && a.right <= frame.right + 0.5 && a.bottom <= frame.bottom + 0.5);
          for (const b of boxes.slice(i + 1)) {
            const across = Math.min(a.right, b.right) - Math.max(a.left, b.left);
            const along = Math.min(a.bottom, b.bottom) - Math.max(a.top, b.top);
            assert.ok(across <= 0 || along <= 2, `labels overlap by ${across} x ${along}`);
          }
        });
      }
      await figure.locator('input[type=range]').focus();
      await page.keyboard.press('Home');
      assert.equal(await figure.locator('.shim-last').count(), 0);
      assert.equal(await ring.locator('.ring-lift:not(.other)').count(), 0);
    });
  });
});

describe('for everybody', () => {
  for (const [name, media, width] of [
    ['light', 'light', 1280],
    ['dark, on a phone', 'dark', 390],
  ]) {
    test(`axe finds nothing, ${name}`, () =>
      on_page(two, async (page) => {
        await page.setViewportSize({ width, height: 900 });
        await page.emulateMedia({ colorScheme: media });
        await page.locator('#plot-force details, #method details').evaluateAll((all) =>
          all.forEach((details) => {
            details.open = true;
          }),
        );
        await page.locator('#plot-force td').first().waitFor({ state: 'attached' });
        assert.deepEqual(await violations(page), []);
      }));
  }

  test('nothing runs out of a narrow screen', () =>
    on_page(two, async (page) => {
      await page.setViewportSize({ width: 320, height: 700 });
      assert.equal(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), true);
    }));
});
