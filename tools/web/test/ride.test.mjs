// The moving picture of a ride: stepped by keyboard, stopped when asked, still on paper, with the program's figures.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { statSync } from 'node:fs';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { cells, start, test_looks, violations, visit } from './browser.mjs';
import { changed, clear, file, folder, fork, json, read_back, read_page, report, stacks } from './pages.mjs';

const other = join(stacks, 'rally-fork-both.yaml');
const stones = join(stacks, 'events', 'stones.yaml');
let browser;
let path;
let rides;
let hard; // one set-up over a fall from 2 m, which it cannot hold, and over a pebble

before(async () => {
  const fall = file('fall.yaml', 'format: 1\ntitle: Fall\nevent: {kind: landing, height: 2 m, duration: 0.5 s}\n');
  hard = report('hard', fork, '--theory', 'linear', '--event', join(stacks, 'events', 'pebble.yaml'), '--event', fall);
  path = report('ride', '--round', fork, other, '--event', stones);
  ({ rides } = json('ride', '--round', fork, other, '--event', stones));
  browser = await start();
});

after(async () => {
  await browser?.stop();
  clear();
});

const on_page = (act) =>
  visit(browser, path, (page) =>
    act(page, {
      slider: page.locator('#ground input[type=range]'),
      run: page.locator('#ground button', { hasText: /move|Stop/ }),
      said: page.locator('#ground output'),
    }),
  );

const moment = (slider) => slider.evaluate((element) => Number(element.value));

// Asked from here: the page's own policy forbids what waits for a function inside it.
async function moves(page, slider) {
  const from = await moment(slider);
  for (let tries = 0; tries < 200; ++tries) {
    if ((await moment(slider)) !== from) return;
    await page.waitForTimeout(50);
  }
  assert.fail(`nothing moved from ${from} in 10 s`);
}

async function stands(page, slider) {
  const at = await moment(slider);
  await page.waitForTimeout(400);
  assert.equal(await moment(slider), at);
}

test('two set-ups over an event are below 1 MB', () => {
  assert.ok(statSync(path).size < 1e6, `${statSync(path).size} bytes`);
});

test('the rides stand side by side with the figures of the program', () =>
  on_page(async (page) => {
    const rows = new Map(
      (await cells(page.locator('#ground table', { hasText: 'The whole ride' }))).map(([words, ...values]) => [words, values]),
    );
    const figures = [
      ['largest travel [mm]', ({ peak_travel_m }) => 1e3 * peak_travel_m],
      ['harshness, r.m.s. [m/s²]', ({ rms_acceleration_m_s2 }) => rms_acceleration_m_s2],
      ['largest void in R [ml]', ({ largest_void_R_m3 }) => 1e6 * largest_void_R_m3],
      ['lost in tyre [J]', ({ energy_J }) => energy_J.tyre],
    ];
    for (const [words, of] of figures)
      rides.forEach(({ summary }, setup) => {
        const told = rows.get(words)[setup];
        if (told === 'none') {
          assert.equal(of(summary), 0, words);
          return;
        }
        const { value, half } = read_back(told);
        assert.ok(Math.abs(value - of(summary)) <= half, `${words}: ${rows.get(words)} for ${of(summary)}`);
      });
    assert.match(rows.get('largest void in R [ml]').join(), /^\d\.\d\d,none$/);
  }));

test('voids are told to two digits, and what a ride does not have is not left open', () => {
  const told = changed(path, 'told', ({ setups }) => {
    const [[a], [b]] = setups.map((setup) => setup.rides);
    const without = (ride, ...all) => ride.metrics.filter(({ words }) => !all.includes(words));
    const end = 'speed as metal is met';
    const more = (words, measure, value) => ({ words, measure, value });
    a.metrics = [
      ...without(a, 'largest void in C', end, 'lost in cups'),
      more('largest void in C', 'volume', 0.0637e-6),
      more(end, 'speed', 1.5),
      more('lost in cups', 'energy', 12),
    ];
    b.metrics = without(b, 'largest void in C', end, 'lost in cups');
  });
  return visit(browser, told, async (page) => {
    const rows = await cells(page.locator('#ground table', { hasText: 'The whole ride' }));
    const row = (name) => rows.find(([words]) => words === name)?.slice(1);
    assert.deepEqual(row('largest void in C [ml]'), ['0.06', 'none']);
    assert.deepEqual(row('speed as metal is met [m/s]'), ['1.5', 'not met']);
    assert.deepEqual(row('lost in cups [J]'), ['12.0', 'none']);
  });
});

test('reversals from which the damping did not come back are told under the figures, of the set-up that has them', () =>
  on_page(async (page) => {
    const notes = await page.locator('#ground .event p.about').allTextContents();
    const expected = rides.flatMap(({ summary: { reversals } }, setup) =>
      ['compression', 'rebound'].filter((into) => reversals[into].not_back > 0).map((into) => [setup, into, reversals[into]]),
    );
    assert.ok(expected.length > 0);
    for (const [setup, into, { not_back, count }] of expected) {
      const words = `${'AB'[setup]}: at ${not_back} of ${count} reversals into ${into} the damping has not come back`;
      assert.equal(notes.filter((note) => note.startsWith(words)).length, 1, words);
    }
    assert.equal(notes.filter((note) => /not come back/.test(note)).length, expected.length);
    const row = (await cells(page.locator('table', { hasText: 'Figures side by side' }))).find(([words]) => words.startsWith('dead travel into compression'));
    assert.match(row[1], /, 1 not back$/);
  }));

test('steps by keyboard, and its figures are those of the program', () =>
  on_page(async (page, { slider, said }) => {
    const picture = page.locator('#ground figure svg').first();
    await slider.focus();
    await page.keyboard.press('Home');
    const first = await picture.evaluate((element) => element.outerHTML);
    for (let i = 0; i < 42; ++i) await page.keyboard.press('ArrowRight');
    assert.equal(await moment(slider), 42);
    assert.notEqual(await picture.evaluate((element) => element.outerHTML), first);
    const words = await said.textContent();
    assert.match(words, /along/);
    assert.equal(await slider.getAttribute('aria-valuetext'), words);
    const rows = await cells(page.locator('#ground table').first());
    const keys = ['unsprung_m', 'travel_m', 'wheel_load_N', 'acceleration_m_s2'];
    keys.forEach((key, row) =>
      rides.forEach(({ series }, setup) => {
        const { value, half } = read_back(rows[row + 1][setup + 1]);
        // Two of the 250 steps are one of the parts of the time whose first moment the page has, to five digits.
        const time = (42 / 250) * series.time_s.at(-1);
        const place = series.time_s.findIndex((other) => Math.abs(other - time) < 1e-9);
        const expected = series[key][place] * (key.endsWith('_m') ? 1e3 : 1);
        const digits = 0.5e-4 * Math.abs(expected);
        assert.ok(Math.abs(value - expected) <= half + digits, `${key}: ${rows[row + 1]} for ${expected}`);
      }),
    );
    assert.match(await picture.getAttribute('aria-label'), /A: the wheel at .*height of the wheel .*travel .*wheel load/);
    await page.locator('#ground button[aria-label="a step back"]').press('Enter');
    assert.equal(await moment(slider), 41);
  }));

test('nothing that the strips draw is less than the program tells', () => {
  const { data } = read_page(path);
  data.setups.forEach((setup, number) => {
    const { series } = setup.rides[0];
    const told = rides[number].series;
    const { summary } = rides[number];
    const most = (list) => Math.max(...list);
    const least = (list) => Math.min(...list);
    // Five digits, and a tenth of what figures are told to.
    const steps = { travel_m: 1e-5, unsprung_m: 1e-5, sprung_m: 1e-5, wheel_load_N: 0.1, acceleration_m_s2: 1e-2, ground_m: 1e-5 };
    for (const [key, step] of Object.entries(steps))
      for (const of of [most, least]) {
        const expected = of(told[key]);
        const room = 0.5 * step + 0.5e-4 * Math.abs(expected);
        assert.ok(Math.abs(of(series[key]) - expected) <= room, `${key}: ${of(series[key])} for ${expected}`);
      }
    assert.ok(Math.abs(most(series.travel_m) - summary.peak_travel_m) < 5e-5);
    assert.ok(Math.abs(most(series.acceleration_m_s2.map(Math.abs)) - summary.peak_acceleration_m_s2) < 0.05);
    assert.ok(series.time_s.length < 125 * 13);
  });
});

test('moves when asked alone, and stops when asked', () =>
  on_page(async (page, { slider, run }) => {
    await stands(page, slider);
    await run.focus();
    await page.keyboard.press('Enter');
    await moves(page, slider);
    assert.equal(await run.textContent(), 'Stop');
    await page.keyboard.press('Enter');
    await stands(page, slider);
    await page.keyboard.press('Enter');
    await moves(page, slider);
    await page.keyboard.press('Escape');
    await stands(page, slider);
    assert.equal(await run.textContent(), 'Let it move');
    // Out of sight it stops by itself.
    await run.click();
    await moves(page, slider);
    await page.evaluate(() => scrollTo(0, document.body.scrollHeight));
    await run.filter({ hasText: 'Let it move' }).waitFor();
  }));

test('only steps for who asks for less motion', () =>
  on_page(async (page, { slider, run }) => {
    await run.click();
    await moves(page, slider);
    await page.emulateMedia({ reducedMotion: 'reduce' });
    await run.waitFor({ state: 'hidden' });
    await stands(page, slider);
    const at = await moment(slider);
    await page.locator('#ground button[aria-label="a step on"]').click();
    assert.equal(await moment(slider), at + 1);
    await page.emulateMedia({ reducedMotion: 'no-preference' });
    await run.waitFor({ state: 'visible' });
  }));

test('is a still of the deepest moment on paper', () =>
  on_page(async (page, { slider, said }) => {
    const plain = (words) => words.replace(/\s+/g, ' ');
    const opens = plain(await said.textContent());
    await slider.focus();
    await page.keyboard.press('Home');
    await page.locator('.to-print > summary').click();
    await page.locator('.to-print label', { hasText: 'Over the ground' }).locator('input').check();
    const pdf = join(folder, 'ride.pdf');
    await page.pdf({ path: pdf, format: 'A4', printBackground: true });
    const text = plain(execFileSync('pdftotext', ['-layout', pdf, '-'], { encoding: 'utf8' }));
    assert.ok(text.includes(opens), opens);
    assert.match(text, /acceleration of the body/);
    assert.doesNotMatch(text, /Let it move|a step/);
    assert.equal(await moment(slider), 0);
  }));

test('an end of the travel that is met hard is the answer and the first of the warnings, before what holds for any damper', () =>
  visit(browser, hard, async (page) => {
    const lead = /^Over Fall: it bottoms out: metal is met at \d\.\d\d m\/s\.$/;
    assert.match(await page.locator('#answer .lead').textContent(), lead);
    const warnings = await page.locator('#check .warnings li').allTextContents();
    assert.match(warnings[0], lead);
    const speeds = warnings.flatMap((text) => /^At (\d\.\d\d) m\/s and faster/.exec(text)?.[1] ?? []);
    assert.ok(speeds.length > 1);
    assert.deepEqual(speeds, [...speeds].sort());
    assert.match(await page.locator('#check li').last().textContent(), /change one thing at a time/);
    assert.match(await page.locator('#rider p').filter({ hasText: /Fall|Pebble/ }).first().textContent(), /^Fall: it bottoms out/);
  }));

test('axe finds nothing with two events, licences opened', () =>
  visit(browser, hard, async (page) => {
    await page.locator('footer details').evaluate((details) => {
      details.open = true;
    });
    assert.deepEqual(await violations(page), []);
  }));

test('arrows step from the button that moves it as well', () =>
  on_page(async (page, { slider, run }) => {
    const from = await moment(slider);
    await run.focus();
    await page.keyboard.press('ArrowLeft');
    await page.keyboard.press('ArrowLeft');
    assert.equal(await moment(slider), from - 2);
    await page.keyboard.press('ArrowRight');
    assert.equal(await moment(slider), from - 1);
  }));

test('on a small phone the figures of two rides and of the valves need no scrolling sideways', () =>
  on_page(async (page) => {
    await page.setViewportSize({ width: 360, height: 740 });
    for (const caption of ['The whole ride', 'Figures of the valves']) {
      const [inside, box] = await page
        .locator('.wide', { has: page.locator(`caption:text-is("${caption}")`) })
        .first()
        .evaluate((wide) => [wide.scrollWidth, wide.clientWidth]);
      assert.ok(inside <= box, `${caption}: ${inside} px in ${box}`);
    }
    // Of the bar the contents alone stay, and hide nothing that is jumped to.
    await page.locator('.bar nav a', { hasText: 'Figures' }).first().click();
    const [bar, title] = await page.evaluate(() =>
      ['.bar nav', '#figures-title'].map((place) => document.querySelector(place).getBoundingClientRect()).map(({ top, bottom }) => ({ top, bottom })),
    );
    assert.ok(bar.top === 0 && title.top >= bar.bottom, `${title.top} below ${bar.bottom}`);
    assert.ok(bar.bottom < 60, `${bar.bottom}`);
    for (const words of await page.locator('#ground svg text', { hasText: 'travel used' }).all())
      assert.ok(await words.evaluate((text) => text.getBBox().y >= 0));
  }));

test_looks(on_page);
