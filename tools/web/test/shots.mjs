// Pictures of a page, to be looked at:  CHROMIUM=… npm run shots -- OUTDIR PAGE.html

import { execFileSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { open, start, unfold } from './browser.mjs';

const [out, file] = process.argv.slice(2);
if (!out || !file) throw new Error('npm run shots -- OUTDIR PAGE.html');
mkdirSync(out, { recursive: true });
const { context, stop } = await start();
try {
  const { page, complaints } = await open(context, resolve(file));
  // The bar would lie over tall parts.
  await page.addStyleTag({ content: '.bar { position: static !important; }' });
  const views = { desktop: [1280, 2400, 'light'], phone: [390, 2400, 'light'], dark: [1280, 2400, 'dark'] };
  for (const [name, [width, height, colorScheme]] of Object.entries(views)) {
    await page.setViewportSize({ width, height });
    await page.emulateMedia({ colorScheme });
    for (const section of await page.locator('main > section').all())
      await section.screenshot({
        path: join(out, `${name}-${await section.getAttribute('id')}.png`),
        animations: 'disabled',
      });
    await page.evaluate(() => scrollTo(0, 0));
    await page.screenshot({ path: join(out, `${name}-top.png`), clip: { x: 0, y: 0, width, height: 900 } });
    if (name === 'desktop') {
      await unfold(page);
      for (const plot of await page.locator('.plot').all())
        await plot.screenshot({ path: join(out, `${await plot.getAttribute('id')}.png`) });
    }
  }
  for (const format of ['A4', 'Letter']) {
    const pdf = join(out, `print-${format}.pdf`);
    await page.pdf({ path: pdf, format, preferCSSPageSize: false, printBackground: true });
    execFileSync('pdftoppm', ['-r', '60', '-png', pdf, join(out, `print-${format}`)]);
  }
  if (complaints.length > 0) console.log(complaints.join('\n'));
} finally {
  await stop();
}
