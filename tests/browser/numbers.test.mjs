// The page says what `run --json` says of the same file: every answer, every table, and the numbers
// behind the pictures.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { start, stop, texts, visit } from './browser.mjs';
import { answer, months, pages } from './pages.mjs';

before(start);
after(stop);

// "1,665 gal/day" is the number, rounded to its last digit. slack: further steps of that digit.
function assertShows(text, value, slack = 0) {
  const digits = text.replace(/,/g, '').match(/-?\d+(\.\d+)?/);
  assert.ok(digits, `no number in "${text}" for ${value}`);
  const step = 10 ** -(digits[1]?.length - 1 || 0);
  // JSON gives six digits; what is shown with three digits may be rounded further left.
  const whole = digits[0].replace('.', '').replace(/^-?0*/, '');
  const coarse = Math.max(step, 10 ** (Math.floor(Math.log10(Math.abs(value) || 1)) - 2));
  const half = (whole.length > 3 ? step : Math.max(step, digits[1] ? step : Math.min(step, coarse))) / 2;
  assert.ok(Math.abs(Number(digits[0]) - value) <= half * (1 + 2 * slack) + 1e-5 * Math.abs(value),
    `"${text}" is not ${value}`);
}

// "May 2027", "2026-06-12", "now"; none: "after May 2046", "not in 20 yr", "-".
function assertDate(text, date, run) {
  if (date === null) return assert.match(text, /^(after |not |-)/, text);
  const [year, month] = date.split('-');
  const name = months[month - 1];
  const said = [date, `${name} ${year}`, `${name.slice(0, 3)} ${year}`];
  if (date === run.start) said.push('now', 'at the start');
  assert.ok(said.some((s) => text.startsWith(s)), `"${text}" is not ${date}`);
}

const rowsOf = (tab, selector) => tab.locator(`${selector} tbody tr`).evaluateAll((rows) =>
  rows.map((row) => [...row.children].map((cell) => cell.textContent.replace(/\s+/g, ' ').trim())));

function assertCell(text, cell, run) {
  if (cell === null) return assert.equal(text, '-');
  if (typeof cell === 'number') return assertShows(text, cell);
  if (typeof cell === 'string') return assert.equal(text, cell.replace(/\s+/g, ' ').trim());
  if ('date' in cell) return assertDate(text, cell.date, run);
  const bound = text.match(/^([<>])(\d+)/);
  if (bound) return assert.ok(bound[1] === '<' ? cell.value < bound[2] : cell.value > bound[2], text);
  assertShows(text, cell.value);
  assert.ok(text.endsWith(cell.unit), `"${text}" is not in ${cell.unit}`);
}

for (const page of pages) {
  test(`${page.name}: answers and tables are those of run --json`, () =>
    visit(page, {}, async (tab) => {
      const run = answer(page);
      assert.deepEqual(JSON.parse(await tab.locator('script#result').textContent()), run);
      assert.deepEqual(await texts(tab, 'h1'), [run.site]);
      assert.deepEqual(await texts(tab, '#answer dt'), run.answer.map((line) => line.topic));
      assert.deepEqual(await texts(tab, '#answer dd'), run.answer.map((line) => line.text));
      for (const [name, table] of Object.entries({ ...run.tables, ...run.assumptions })) {
        assert.deepEqual(await texts(tab, `#table-${name} caption`), [table.title]);
        const rows = await rowsOf(tab, `#table-${name}`);
        assert.equal(rows.length, table.rows.length, name);
        rows.forEach((row, i) => {
          const cells = Object.values(table.rows[i]);
          assert.equal(row.length, cells.length, name);
          row.forEach((text, k) => assertCell(text, cells[k], run));
        });
      }
      for (const caution of run.cautions)
        assert.ok((await texts(tab, '#cautions p')).includes(caution), caution);
    }));

  test(`${page.name}: the numbers behind the pictures are those of run --json`, () =>
    visit(page, {}, async (tab) => {
      const run = answer(page);
      const { household, overflow, pits, pit_dates, pump_out, tank_by_year } = run.tables;
      const water = household.rows.find((row) => row.what === 'water, mean').first_year.value;
      const takes = (when) => pits.rows.reduce((sum, pit) => sum + pit[when].value, 0);
      const same = (a, b) => a.toLowerCase() === b.toLowerCase();

      const found = await rowsOf(tab, '#have figure');
      pits.rows.forEach((pit) => {
        const row = found.find(([name]) => same(name, pit.pit));
        assert.ok(row, pit.pit);
        assertShows(row[2], pit.depth.value);
        assertShows(row[3], pit.level.value);
      });

      const dates = await rowsOf(tab, '#happens figure');
      const cases = ['early', 'expected', 'late'];
      pit_dates.rows.filter((row) => row.what === 'full to the inlet').forEach((pit) => {
        const row = dates.find(([what]) => same(what, `${pit.pit} full to its inlet`));
        assert.ok(row, pit.pit);
        cases.forEach((c, k) => assertDate(row[k + 1], pit[c].date, run));
      });
      const flows = dates.find(([what]) => /overflow/i.test(what));
      overflow.rows.forEach((row, k) => assertDate(flows[k + 1], row.overflow.date, run));
      const due = dates.find(([what]) => /due for pumping/.test(what));
      const first = pump_out.rows.map((row) => row.reached.date).filter(Boolean).sort()[0];
      if (due) assertDate(due[1], first ?? null, run);

      const solids = await rowsOf(tab, '#people figure');
      assertShows(solids[0][1], pump_out.rows[0].at_start.value);
      assertShows(solids.at(-1)[1], tank_by_year.rows.at(-1).solids_share.value, 1);

      // Full to the brim, a pit takes what the table of the pits says.
      const heights = await rowsOf(tab, '#water figure');
      pits.rows.forEach((pit) => {
        const rows = heights.filter(([name]) => same(name, pit.pit));
        if (rows.length === 0) return;  // it gets no water
        assertShows(rows.at(-1)[1], pit.depth.value);
        assertShows(rows.at(-1)[2], pit.now.value);
      });

      const clogging = await rowsOf(tab, '#clogging figure');
      assertShows(clogging[0][1], takes('now'));
      // What leaves the tank, not what enters it: they differ by what the tank holds more or less.
      assertShows(clogging[0][2], water, 1);
      assertShows(clogging.at(-1)[1], takes('end'), 1);

      if ((await tab.locator('#rest figure').count()) > 0) {
        const [start] = await rowsOf(tab, '#rest figure');
        const [caption] = await texts(tab, '#rest figure caption');
        const pit = pits.rows.find(({ pit: name }) => caption.includes(name));
        assertShows(start[2], pit.now.value);  // most likely; the others may start more clogged
      }

      const [asItIs] = await rowsOf(tab, '#cases');
      assertShows(asItIs[1], water);
    }));
}
