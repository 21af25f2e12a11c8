// Debian's chromium, driven without any network.

import assert from 'node:assert/strict';
import { mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { createRequire } from 'node:module';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { test } from 'node:test';
import { pathToFileURL } from 'node:url';
import { chromium } from 'playwright-core';

export async function start() {
  const executablePath = process.env.CHROMIUM ?? '/usr/bin/chromium';
  const folder = mkdtempSync(join(tmpdir(), 'valve-page-'));
  const context = await chromium.launchPersistentContext(folder, {
    executablePath,
    headless: true,
    acceptDownloads: true,
    viewport: { width: 1280, height: 900 },
    args: [
      '--no-sandbox',
      '--disable-gpu',
      '--disable-quic',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--disable-sync',
    ],
  });
  const asked = []; // what any page asked for, itself aside
  await context.route('**/*', (route) => {
    const url = route.request().url();
    if (url.startsWith('file:') || url.startsWith('blob:') || url.startsWith('data:')) return route.continue();
    asked.push(url);
    return route.abort();
  });
  return {
    context,
    asked,
    stop: async () => {
      await context.close();
      rmSync(folder, { recursive: true, force: true });
    },
  };
}

// A page from disk; what it complains of is collected in `complaints`.
export async function open(context, path) {
  const page = await context.newPage();
  const complaints = [];
  page.on('console', (message) => {
    if (['error', 'warning'].includes(message.type())) complaints.push(message.text());
  });
  page.on('pageerror', (error) => complaints.push(String(error)));
  page.on('dialog', (dialog) => {
    complaints.push(`dialog: ${dialog.message()}`);
    return dialog.dismiss();
  });
  await page.goto(pathToFileURL(path).href);
  await page.waitForSelector('#method-title', { timeout: 10000 }).catch((error) => {
    throw new Error([...complaints, error.message].join('\n'));
  });
  return { page, complaints };
}

// Opens, acts, and holds that nothing complained and nothing was asked of a network.
export async function visit(browser, path, act) {
  const { page, complaints } = await open(browser.context, path);
  try {
    await act(page);
    assert.deepEqual(complaints, []);
    assert.deepEqual(browser.asked, []);
  } finally {
    await page.close();
  }
}

// What axe finds wrong with a page.
const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');
export async function violations(page) {
  await page.evaluate(axe);
  const { violations: found } = await page.evaluate(() =>
    globalThis.axe.run(document, {
      resultTypes: ['violations'],
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
    }),
  );
  return found.map(({ id, nodes }) => `${id}, ${nodes.length} times: ${nodes[0].html.slice(0, 200)}`);
}

// Two tests of a page as it first shows, by daylight on a desk and in the dark on a phone.
export function test_looks(on_page) {
  for (const [colorScheme, width] of [
    ['light', 1280],
    ['dark', 390],
  ])
    test(`axe finds nothing, ${colorScheme}, ${width} wide, and nothing runs out`, () =>
      on_page(async (page) => {
        await page.setViewportSize({ width, height: 900 });
        await page.emulateMedia({ colorScheme });
        assert.deepEqual(await violations(page), []);
        assert.equal(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), true);
      }));
}

// Everything that is folded away, opened; plots are drawn once they have a width.
export async function unfold(page) {
  await page.locator('details.fold').evaluateAll((all) =>
    all.forEach((fold) => {
      fold.open = true;
    }),
  );
  for (const canvas of await page.locator('.fold .canvas').all())
    await canvas.locator('svg').first().waitFor({ state: 'attached' });
}

// The cells of a table, row by row.
export const cells = (locator) =>
  locator.evaluate((element) =>
    [...element.querySelectorAll('tr')].map((row) =>
      [...row.querySelectorAll('th, td')].map((cell) => cell.textContent),
    ),
  );

// The table under a plot, opened.
export async function plot_table(page, id, at = 0) {
  const plot = page.locator(`#plot-${id}`);
  await plot.locator('details').evaluate((details) => {
    details.open = true;
  });
  await plot.locator('.as-table table').nth(at).waitFor({ state: 'attached' });
  return cells(plot.locator('.as-table table').nth(at));
}
