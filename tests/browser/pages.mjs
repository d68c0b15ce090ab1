// The pages that are tested: made once by make_pages.mjs, in the folder $PAGES.
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';

export const long = { name: 'metric_cottage', site: 'scenarios/metric_cottage.yaml', years: 20, pdf: true };
export const two = { name: 'two_old_pits', site: 'scenarios/two_old_pits.yaml', years: 1, people: '6' };
export const planned = { name: 'pits_and_field', site: 'scenarios/pits_and_field.yaml', years: 1 };
export const hostile = { name: 'hostile', site: 'tests/browser/hostile.yaml', years: 1 };
export const pages = [long, two, planned, hostile];

export const file = (page, kind) => join(process.env.PAGES, `${page.name}.${kind}`);
export const url = (page) => pathToFileURL(file(page, 'html')).href;
const read = (path) => JSON.parse(readFileSync(path, 'utf8'));
// What `run --json` says of the same site.
export const answer = (page) => read(file(page, 'json'));
// What `whatif --set household.occupants=PEOPLE --json` says of it.
export const asked = (page) => read(file(page, 'whatif.json'));

export const months = ['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August',
  'September', 'October', 'November', 'December'];
