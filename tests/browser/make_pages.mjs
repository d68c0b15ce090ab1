// make_pages.mjs PROGRAM: the pages, and beside them what `run --json` says, two at a time.
import { execFile } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { promisify } from 'node:util';
import { file, pages } from './pages.mjs';

const program = process.argv[2];
const cwd = fileURLToPath(new URL('../..', import.meta.url));
const restwell = (...words) =>
  promisify(execFile)(program, words.map(String), { cwd, maxBuffer: 1 << 26 });

async function make(page) {
  const pdf = page.pdf ? ['--pdf', file(page, 'pdf')] : [];
  await restwell('report', page.site, '--years', page.years, '-o', file(page, 'html'), ...pdf);
  const run = await restwell('run', page.site, '--years', page.years, '--json');
  writeFileSync(file(page, 'json'), run.stdout);
  if (!page.people) return;
  const asked = await restwell('whatif', page.site, '--years', page.years, '--json', '--set',
    `household.occupants=${page.people}`);
  writeFileSync(file(page, 'whatif.json'), asked.stdout);
}

const left = [...pages];
const worker = async () => {
  while (left.length > 0) await make(left.shift());
};
await Promise.all([worker(), worker()]);
