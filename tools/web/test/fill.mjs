// A page from the built template and data, as `valve report` makes it.

import { readFileSync } from 'node:fs';

export function fill(template, title, data) {
  const json = JSON.stringify(data).replace(/</g, '\\u003c');
  const safe = title.replace(/&/g, '&amp;').replace(/</g, '&lt;').replace(/>/g, '&gt;').replace(/"/g, '&quot;');
  return readFileSync(template, 'utf8').replace('@@TITLE@@', () => safe).replace('@@DATA@@', () => json);
}
