// What a reader gets: without scripts, on any width, with the keyboard, by ear, on paper.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { after, before, test } from 'node:test';
import { openDetails, start, stop, texts, visit, widths } from './browser.mjs';
import { faultsOfAccess, faultsOfLayout, tabThrough } from './checks.mjs';
import { answer, file, hostile, long, pages, planned, url } from './pages.mjs';

before(start);
after(stop);

const sections = [
  'what-you-have', 'what-will-happen', 'why', 'what-changes-it', 'what-to-do', 'how-sure', 'cautions',
  'professional',
];

for (const page of pages) {
  test(`${page.name} reads without scripts`, () =>
    visit(page, { javaScriptEnabled: false }, async (tab) => {
      assert.deepEqual(
        await tab.locator('main > section').evaluateAll((all) => all.map((s) => s.id)), sections);
      const levels = await tab.locator('h1, h2, h3, h4, h5, h6')
        .evaluateAll((all) => all.map((h) => Number(h.tagName[1])));
      assert.equal(levels.filter((l) => l === 1).length, 1);
      levels.reduce((last, level) => {
        assert.ok(level <= last + 1, `h${level} after h${last}`);
        return level;
      }, 0);
      for (const { topic, text } of answer(page).answer) {
        const line = tab.locator('#answer dt', { hasText: topic }).locator('xpath=following-sibling::dd[1]');
        assert.ok(await line.first().isVisible(), text);
      }
      assert.ok(await tab.locator('#what-will-happen .answer').first().isVisible());
      // A picture says in words what it shows, and its numbers stand in a table.
      const figures = await tab.locator('figure:visible').all();
      assert.ok(figures.length >= 6);
      for (const figure of figures) {
        const svgs = await figure.locator('svg').all();
        assert.equal(svgs.length, 2);
        for (const svg of svgs) {
          assert.equal(await svg.getAttribute('role'), 'img');
          const named = await svg.getAttribute('aria-labelledby');
          assert.ok(named);
          for (const id of named.split(' '))
            assert.ok((await tab.locator(`[id="${id}"]`).textContent()).trim().length > 8, id);
        }
        const rows = figure.locator('xpath=ancestor::div[@id][1]').locator('tbody tr');
        assert.ok((await rows.count()) >= 1);
      }
      // The numbers unfold without a script.
      const details = tab.locator('figure details').first();
      await details.locator('summary').click();
      assert.ok(await details.locator('table').isVisible());
    }));

  test(`${page.name} fits phone, tablet and desk`, () =>
    visit(page, {}, async (tab) => {
      await openDetails(tab);
      for (const width of Object.values(widths)) {
        await tab.setViewportSize({ width, height: 800 });
        assert.deepEqual(await tab.evaluate(faultsOfLayout), [], `${width} pixels wide`);
      }
    }));

  test(`${page.name} asks for nothing and says no error`, () =>
    visit(page, {}, async (tab, seen) => {
      await openDetails(tab);
      await tab.emulateMedia({ media: 'print' });
      await tab.mouse.wheel(0, 100000);
      await tab.waitForLoadState('networkidle');
      assert.deepEqual(seen, { requests: [url(page)], dialogs: [], errors: [] });
    }));
}

for (const page of [long, planned, hostile]) {
  test(`${page.name} has no fault for axe, ${widths.phone} and ${widths.desk} pixels wide`, () =>
    // The page's own policy lets no script in: not even this one.
    visit(page, { bypassCSP: true }, async (tab) => {
      await openDetails(tab);
      for (const width of [widths.phone, widths.desk]) {
        await tab.setViewportSize({ width, height: 800 });
        assert.deepEqual(await faultsOfAccess(tab), [], `${width} pixels wide`);
      }
    }));
}

for (const width of [widths.phone, widths.desk]) {
  test(`the keyboard reaches every link and fold, and shows where it is, ${width} pixels wide`, () =>
    visit(planned, { width }, async (tab) => {
      const all = await tab.locator(':is(a[href], summary, input, button):visible').count();
      assert.equal((await tabThrough(tab)).size, all);
      // The keyboard unfolds.
      const fold = tab.locator('details').first();
      await fold.locator('summary').focus();
      await tab.keyboard.press('Enter');
      assert.ok(await fold.locator('table').isVisible());
    }));
}

test('on paper: no links to click, no folded numbers, all tables of the professional, the file', () =>
  visit(long, {}, async (tab) => {
    await tab.emulateMedia({ media: 'print' });
    assert.ok(!(await tab.locator('nav').isVisible()));
    for (const fold of await tab.locator('details').all()) assert.ok(!(await fold.isVisible()));
    for (const table of await tab.locator('#professional table').all())
      assert.ok(await table.isVisible());
    assert.ok(await tab.locator('#site-file pre').isVisible());
    assert.ok(await tab.locator('#what-to-do dl').isVisible());
    assert.ok((await tab.locator('figure .wide svg').first().boundingBox()).width > 400);
  }));

test('the PDF is tagged, small, and a page a section at least', () => {
  const pdf = readFileSync(file(long, 'pdf'), 'latin1');
  assert.ok(pdf.startsWith('%PDF-'));
  assert.match(pdf, /\/MarkInfo\s*<<[^>]*\/Marked true/);
  assert.match(pdf, /\/StructTreeRoot /);
  assert.match(pdf, /\/Lang \(en/);
  for (const tag of ['H1', 'H2', 'Table', 'TH', 'Figure'])
    assert.match(pdf, new RegExp(`/S /${tag}\\b`), tag);
  assert.ok(pdf.length <= 1.5e6, `${pdf.length} bytes`);
  assert.ok(pdf.match(/\/Type \/Page\b/g).length >= sections.length);
});

const scriptsOf = async (page) => {
  let count;
  await visit(page, {}, async (tab) => (count = await tab.locator('script').count()));
  return count;
};

test('hostile names are text', () =>
  // Without the page's policy, which would hide a fault.
  visit(hostile, { bypassCSP: true }, async (tab, seen) => {
    await openDetails(tab);
    assert.equal(await tab.title(), '<script>alert(1)</script>');
    assert.deepEqual(await texts(tab, 'h1'), ['<script>alert(1)</script>']);
    assert.equal(await tab.locator('script').count(), await scriptsOf(long));
    assert.equal(await tab.locator('img, iframe, object, embed').count(), 0);
    assert.deepEqual(
      await tab.evaluate(() => [...document.querySelectorAll('*')].flatMap((e) =>
        e.getAttributeNames().filter((name) => name.startsWith('on')))), []);
    const visible = await tab.locator('body').innerText();
    for (const name of ['"><img src=x>', '</svg><script>alert(4)</script>', "' onfocus='alert(3)",
      '</title><img src=x onerror=alert(2)> & {{site}}'])
      assert.ok(visible.includes(name), name);
    assert.ok((await texts(tab, 'svg text')).some((t) => t.includes('"><img')));
    await tab.waitForTimeout(300);
    assert.deepEqual(seen.dialogs, []);
    assert.equal(seen.requests.length, 1);
  }));
