// Builds page.html: one file, which `valve report` fills with a title and data.
//   node build.mjs [--out DIR]     DIR: out

import { createHash } from 'node:crypto';
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, resolve } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

const here = fileURLToPath(new URL('.', import.meta.url));
const at = process.argv.indexOf('--out');
if (at >= 0 && !process.argv[at + 1]) throw new Error('--out wants a directory');
const out = resolve(at >= 0 ? process.argv[at + 1] : join(here, 'out'));

const {
  outputFiles: [bundle],
  metafile,
} = await build({
  absWorkingDir: here,
  entryPoints: ['src/main.ts'],
  bundle: true,
  minify: true,
  write: false,
  metafile: true,
  format: 'iife',
  target: 'es2020',
  charset: 'ascii',
  legalComments: 'none',
});

// What is bundled must have its licence carried.
const licences = {
  echarts: ['LICENSE', 'NOTICE', 'licenses/LICENSE-d3'],
  zrender: ['LICENSE'],
  tslib: ['LICENSE.txt'],
};
const bundled = new Set(
  Object.keys(metafile.inputs).flatMap((path) => /node_modules\/([^/]+)\//.exec(path)?.[1] ?? []),
);
for (const name of bundled) if (!licences[name]) throw new Error(`the licence of ${name} is not carried`);

const read = (path) => readFileSync(join(here, path), 'utf8');
const escaped = (text) => text.replace(/&/g, '&amp;').replace(/</g, '&lt;');
const licence_texts = [...bundled].sort().flatMap((name) =>
  licences[name].map((file) => {
    const { version } = JSON.parse(read(`node_modules/${name}/package.json`));
    return `<h3>${name} ${version}, ${file}</h3>\n<pre>${escaped(read(`node_modules/${name}/${file}`))}</pre>`;
  }),
);

// "</script" inside the script would end it.
const script = bundle.text.trim().replace(/<\/(script)/gi, '<\\/$1');
const page = Object.entries({
  HASH: `sha256-${createHash('sha256').update(script).digest('base64')}`,
  STYLE: read('src/style.css').trim(),
  LICENCES: licence_texts.join('\n'),
  SCRIPT: script,
}).reduce((text, [name, value]) => text.replace(`@@${name}@@`, () => value), read('src/page.html'));

// The program replaces these two, each exactly once.
for (const name of ['@@TITLE@@', '@@DATA@@'])
  if (page.split(name).length !== 2) throw new Error(`${name} must stand in the page exactly once`);
if ((page.match(/@@[A-Z]+@@/g) ?? []).length !== 2) throw new Error('a placeholder was left unfilled');

mkdirSync(out, { recursive: true });
writeFileSync(join(out, 'page.html'), page);
console.log(`${join(out, 'page.html')}: ${Math.round(page.length / 1024)} kB`);
