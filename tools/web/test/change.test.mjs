// What to change for a goal: the program's figures in tables and plot, on a phone and on paper.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { cells, start, test_looks, violations, visit } from './browser.mjs';
import { clear, folder, fork, json, read_back, report, softer, stacks } from './pages.mjs';

const goal = ['--goal', join(stacks, 'goals', 'refill.yaml')];
let browser;
let path;
let advice;
let compared;

before(async () => {
  path = report('goal', '--round', fork, softer, ...goal);
  advice = json('advise', '--round', fork, ...goal);
  compared = json('report', '--round', fork, softer, ...goal).advice;
  browser = await start();
});

after(async () => {
  await browser?.stop();
  clear();
});

const on_page = (act) => visit(browser, path, act);

test('the changes are those of the program, in its order', () =>
  on_page(async (page) => {
    assert.equal(await page.locator('.failed').count(), 0);
    const [, ...rows] = await cells(page.locator('#change table', { hasText: 'Single changes' }));
    assert.equal(rows.length, advice.changes.length);
    rows.forEach(([number, words, reached, side_effect, effort], i) => {
      const change = advice.changes[i];
      assert.equal(number, String(i + 1));
      assert.equal(words, change.words);
      assert.equal(effort, change.effort);
      for (const [text, expected] of [
        [reached, 100 * change.reached],
        [side_effect, change.side_effect],
      ]) {
        const { value, half } = read_back(text);
        assert.ok(Math.abs(value - expected) <= half * 1.001, `${text} for ${expected}`);
      }
    });
    const text = await page.locator('#change').textContent();
    for (const words of [...advice.sentences, advice.changes[0].gives, advice.changes[0].also, advice.lines[0].words])
      assert.ok(text.includes(words), words);
  }));

test('the other set-up stands beside them', () =>
  on_page(async (page) => {
    const [, [, reached, side_effect]] = await cells(page.locator('#change table', { hasText: 'Against the same goal' }));
    const [beside] = compared.beside;
    assert.ok(Math.abs(read_back(reached).value - 100 * beside.reached) <= read_back(reached).half * 1.001);
    assert.ok(Math.abs(read_back(side_effect).value - beside.side_effect) <= read_back(side_effect).half * 1.001);
    assert.ok((await page.locator('#change').textContent()).includes(`B gives: ${beside.gives}`));
  }));

test('every change is a point of the plot, and a row of its file', () =>
  on_page(async (page) => {
    await page.locator('#plot-candidates .as-table > summary').click();
    const tables = await page.locator('#plot-candidates .as-table table').all();
    const rows = (await Promise.all(tables.map(cells))).flatMap(([, ...rest]) => rest);
    const told = [...advice.changes, ...advice.pairs];
    assert.equal(rows.length, told.length + 2); // the other set-up, and the unit as it is
    const first = rows.find((row) => row[row.length - 1] === `1: ${told[0].words}`);
    assert.ok(Math.abs(read_back(first[1]).value - 100 * told[0].missing) <= read_back(first[1]).half * 1.001);
    const [download] = await Promise.all([
      page.waitForEvent('download'),
      page.locator('#plot-candidates button', { hasText: 'CSV' }).click(),
    ]);
    const text = execFileSync('cat', [await download.path()], { encoding: 'utf8' });
    assert.equal(text.trim().split('\r\n').length, told.length + 3);
    assert.ok(text.includes(`"1: ${told[0].words.replace(/"/g, '""')}"`));
  }));

test('what can be built from the drawer is what search finds', async () => {
  const words = [fork, '--round', '--goal', join(stacks, 'goals', 'harder-hits.yaml'), '--drawer', join(stacks, 'drawers', 'van.yaml'), '--valve', 'base.compression', '--most', '60'];
  const found = json('search', ...words);
  await visit(browser, report('drawer', ...words), async (page) => {
    const [, today, ...rows] = await cells(page.locator('#drawer table', { hasText: 'The best stacks' }));
    assert.equal(today[0], 'as it is');
    assert.equal(rows.length, found.stacks.length);
    rows.forEach(([number, built, error, changed], i) => {
      const { value, half } = read_back(error);
      assert.equal(number, String(i + 1));
      assert.equal(built, found.stacks[i].words);
      assert.ok(Math.abs(value - found.stacks[i].error_steps) <= half * 1.001, error);
      assert.equal(Number(changed), found.stacks[i].changed_shims);
    });
    assert.ok((await page.locator('#drawer').textContent()).includes(found.sentences[0]));
    assert.deepEqual(await violations(page), []);
  });
});

test('is on paper', () =>
  on_page(async (page) => {
    const pdf = join(folder, 'change.pdf');
    await page.pdf({ path: pdf, format: 'A4', printBackground: true });
    const text = execFileSync('pdftotext', ['-layout', pdf, '-'], { encoding: 'utf8' }).replace(/\s+/g, ' ');
    for (const words of ['What to change', 'Single changes, the best first', 'goal still missing', 'What is gained'])
      assert.ok(text.includes(words), words);
    assert.doesNotMatch(text, /PNG|as a table/);
  }));

test_looks(on_page);
