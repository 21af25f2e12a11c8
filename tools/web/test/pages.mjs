// Pages and JSON from the program itself (VALVE_BIN), in a folder of their own.

import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build } from 'esbuild';

export const stacks = fileURLToPath(new URL('../../../stacks', import.meta.url));
export const fork = join(stacks, 'rally-fork.yaml');
export const softer = join(stacks, 'rally-fork-softer-check.yaml');
const run = join(stacks, 'rally-fork-run.csv');
export const measured = ['--measured', run, '--columns', 'speed=-velocity,damping=-load'];

const program = process.env.VALVE_BIN;
if (!program) throw new Error('VALVE_BIN must name the program');

export const folder = mkdtempSync(join(tmpdir(), 'valve-pages-'));
export const clear = () => rmSync(folder, { recursive: true, force: true });

export function valve(...words) {
  return execFileSync(program, words, { encoding: 'utf8', maxBuffer: 1 << 28 });
}

export const json = (...words) => JSON.parse(valve(...words, '--json'));

export function report(name, ...words) {
  const path = join(folder, `${name}.html`);
  valve('report', ...words, '-o', path);
  return path;
}

export function file(name, text) {
  const path = join(folder, name);
  writeFileSync(path, text);
  return path;
}

// A module of the page, as its script has it; `more`: further exports of it.
export async function module_of(name, more = []) {
  const source = (module) => JSON.stringify(fileURLToPath(new URL(`../src/${module}.ts`, import.meta.url)));
  const {
    outputFiles: [{ text }],
  } = await build({
    stdin: {
      contents: [name, ...more].map((module) => `export * from ${source(module)};`).join('\n'),
      resolveDir: fileURLToPath(new URL('..', import.meta.url)),
    },
    bundle: true,
    write: false,
    format: 'esm',
  });
  return import(`data:text/javascript;base64,${Buffer.from(text).toString('base64')}`);
}
const { unpacked } = await module_of('packed');

// What a page holds as data, and the text before and after it.
export function read_page(path) {
  const [before, data, after] = readFileSync(path, 'utf8').split(
    /(?<=<script type="application\/json" id="data">)(.*?)(?=<\/script>)/s,
  );
  return { before, data: JSON.parse(JSON.stringify(unpacked(JSON.parse(data)))), after }; // nothing shared
}

// The page with other data: what no file of ours brings about.
export function changed(path, name, change) {
  const { before, data: page, after } = read_page(path);
  change(page);
  return file(`${name}.html`, before + JSON.stringify(page).replace(/</g, '\\u003c') + after);
}

// A figure as a reader takes it back from the page, with the half of its last digit.
export function read_back(text) {
  const [number] = text.replace('−', '-').match(/-?\d+(\.\d+)?/) ?? [];
  if (number === undefined) return null;
  return { value: Number(number), half: 0.5 * 10 ** -(number.split('.')[1] ?? '').length };
}
