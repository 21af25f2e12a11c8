// The page on paper: vectors only, always light, the build sheet on a page of its own.

import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
import { join } from 'node:path';
import { after, before, test } from 'node:test';
import { open, start, unfold } from './browser.mjs';
import { clear, folder, fork, report, softer } from './pages.mjs';

let browser;
let opened;

before(async () => {
  const path = report('two', '--round', fork, softer);
  browser = await start();
  opened = await open(browser.context, path);
});

after(async () => {
  await browser?.stop();
  clear();
});

async function pages(format) {
  const path = join(folder, `${format}.pdf`);
  await opened.page.pdf({ path, format, printBackground: true });
  const texts = execFileSync('pdftotext', ['-layout', path, '-'], { encoding: 'utf8' })
    .split('\f')
    .map((text) => text.trim());
  return { path, texts };
}

test('at first what goes to the bench, and no more', async () => {
  const { texts } = await pages('A4');
  const all = texts.join('\n');
  for (const words of ['The answer', 'Build sheet', 'For the rider']) assert.ok(all.includes(words), words);
  assert.doesNotMatch(all, /The way of the oil|How the numbers were made/);
  assert.ok(texts.filter((text) => text).length <= 5, `${texts.length} pages`);
  await opened.page.locator('.to-print > summary').click();
  for (const box of await opened.page.locator('.to-print input').all()) await box.check();
  await unfold(opened.page);
});

for (const format of ['A4', 'Letter']) {
  test(format, async () => {
    const { path, texts } = await pages(format);
    // Two lines head an empty list of pictures.
    assert.equal(execFileSync('pdfimages', ['-list', path], { encoding: 'utf8' }).trim().split('\n').length, 2);
    const all = texts.join('\n');
    for (const words of [
      'The answer',
      'Check before riding',
      'The way of the oil',
      'Refill deficit',
      'base.refill',
      'damping force [N]',
      'rod speed, compression positive [m/s]',
      'For the rider',
      'How the numbers were made',
      'VOID, grows',
    ])
      assert.ok(all.includes(words), words);
    const sheet = texts.findIndex((text) => text.startsWith('Build sheet'));
    assert.ok(sheet > 0, 'the build sheet begins a page');
    assert.match(texts[sheet], /A: Rally fork as found/);
    assert.match(texts[sheet + 1], /^B: Rally fork, softer check plate/);
    assert.match(texts[sheet + 1], /◆ changed/);
    assert.match(texts[sheet + 2], /^For the rider/);
    // Nothing to press on paper.
    assert.doesNotMatch(all, /PNG|as a table/);
  });
}

test('is light, whatever the screen is, and the screen is as before', async () => {
  const { page } = opened;
  const letters = await page.locator('#plot-force .canvas text').first().getAttribute('fill');
  await page.emulateMedia({ colorScheme: 'dark' });
  await page.locator(`#plot-force .canvas text:not([fill="${letters}"])`).first().waitFor({ state: 'attached' });
  const screen = await page.locator('#plot-force .canvas').innerHTML();
  const { path } = await pages('A4');
  const grey = execFileSync('pdftoppm', ['-r', '20', '-gray', '-l', '3', path], { maxBuffer: 1 << 26 });
  const dark = grey.filter((level) => level < 100).length / grey.length;
  assert.ok(dark < 0.1, `${dark} of the first pages is dark`);
  assert.ok(
    (await page.locator('#plot-force .canvas').innerHTML()) === screen,
    'the plot on the screen is as before',
  );
  assert.deepEqual(opened.complaints, []);
});
