// What a reader tries in the page: the slider and the switches run the simulation again, say so, and
// say what the commands say; still without a request.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { start, stop, texts, visit, widths } from './browser.mjs';
import { faultsOfAccess, faultsOfLayout, tabThrough } from './checks.mjs';
import { asked, months, two, url } from './pages.mjs';

before(start);
after(stop);

const answered = (tab, question) => tab.waitForFunction((wanted) => {
  const box = document.getElementById('try-it');
  return box.dataset.question === wanted && box.getAttribute('aria-busy') === 'false';
}, question, { timeout: 60000 });

const inWords = (date) => `${months[date.slice(5, 7) - 1]} ${date.slice(0, 4)}`;

// Collects what a screen reader would read out from now on.
const listen = (tab) => tab.evaluate(() => {
  window.heard = [];
  for (const region of document.querySelectorAll('#try-it [aria-live], #try-it [role=status]'))
    new MutationObserver(() => window.heard.push(region.textContent.replace(/\s+/g, ' ').trim()))
      .observe(region, { childList: true, characterData: true, subtree: true });
});
const heard = (tab) => tab.evaluate(() => window.heard);

// What the page itself says of one of the cases that it has tried.
const caseWords = async (tab, name) =>
  (await tab.locator('#what-changes-it dt', { hasText: name })
    .locator('xpath=following-sibling::dd[1]').first().textContent()).replace(/\s+/g, ' ').trim();

test('without scripts nothing is offered that does not work', () =>
  visit(two, { javaScriptEnabled: false }, async (tab) => {
    assert.equal(await tab.locator('#try-it').count(), 1);
    assert.ok(!(await tab.locator('#try-it').isVisible()));
    assert.ok(!(await tab.locator('#try-not').isVisible()));
  }));

test('arrow keys on the slider run it again, and the answer is announced', (t) =>
  visit(two, {}, async (tab, seen) => {
    await listen(tab);
    const slider = tab.getByRole('slider', { name: 'People in the house' });
    await slider.focus();
    const began = Date.now();
    await tab.keyboard.press('ArrowRight');
    await tab.keyboard.press('ArrowRight');
    assert.equal(await slider.getAttribute('aria-valuetext'), '6 people');
    await answered(tab, '6;');
    t.diagnostic(`first answer after ${Date.now() - began} ms, the engine's start included`);
    const again = Date.now();
    await tab.keyboard.press('ArrowRight');
    await answered(tab, '7;');
    t.diagnostic(`a slider step takes ${Date.now() - again} ms`);
    await tab.keyboard.press('ArrowLeft');
    await answered(tab, '6;');

    const [tried] = await texts(tab, '#try-tried');
    const [answer] = await texts(tab, '#try-answer');
    const [change] = await texts(tab, '#try-change');
    assert.match(tried, /6 people instead of 4 people/);
    for (const id of ['try-tried', 'try-answer', 'try-change'])
      assert.equal(await tab.locator(`[aria-live=polite] #${id}`).count(), 1);
    const spoken = await heard(tab);
    assert.ok(spoken.some((words) => words.includes(answer) && words.includes(change)), answer);
    assert.ok(spoken.some((words) => /^Calculating/.test(words)));
    assert.deepEqual(await texts(tab, '#try-state'), ['']);
    // The page tried two more people by itself.
    const own = await caseWords(tab, 'Two more people');
    assert.ok(own.includes(change), `"${change}" is not of "${own}"`);
    // And so does whatif.
    const { water, first_full: full, overflow } = asked(two).tables.cases_compared.rows[1];
    assert.ok(change.includes(`${Math.round(water.value)} gallons a day`), change);
    const words = [answer, ...(await texts(tab, '#try-items dd'))].join(' ');
    const dates = [overflow, full].flatMap((spread) => Object.values(spread))
      .map((when) => when.date).filter((date) => date && date !== '2026-05-01');
    assert.ok(dates.length > 0);
    for (const date of dates)
      assert.ok(words.includes(date) || words.includes(inWords(date)), `${date} is not in: ${words}`);
    assert.deepEqual(seen.errors, []);
    assert.deepEqual(seen.requests.filter((r) => !r.startsWith('blob:')), [url(two)]);
  }));

test('the next step of the slider, and a case ticked, are there before they are asked for', (t) =>
  visit(two, {}, async (tab, seen) => {
    const ahead = (question) => tab.waitForFunction(
      (wanted) => document.getElementById('try-it').dataset.ahead === wanted, question,
      { timeout: 60000 });
    const slider = tab.locator('#try-people');
    await slider.scrollIntoViewIfNeeded();
    await ahead('4;');
    assert.deepEqual(await texts(tab, '#try-state'), ['']);  // nothing is said of it
    assert.ok(!(await tab.locator('#try-result').isVisible()));
    await listen(tab);
    await slider.focus();
    const until_shown = (question, change) => tab.evaluate(async ([wanted, how]) => {
      const box = document.getElementById('try-it'), people = document.getElementById('try-people');
      const began = performance.now();
      if (how === 'tick') {
        box.querySelector('input[type=checkbox]').click();
      } else {
        people.value = how;
        people.dispatchEvent(new Event('input'));
      }
      while (box.dataset.question !== wanted) await new Promise(requestAnimationFrame);
      return performance.now() - began;
    }, [question, change]);
    const stepped = await until_shown('5;', '5');
    t.diagnostic(`a slider step takes ${Math.round(stepped)} ms until shown`);
    assert.ok(!(await heard(tab)).some((words) => /^Calculating/.test(words)));
    const [own] = await texts(tab, '#try-answer');
    await ahead('5;');
    const first = await tab.locator('#try-it input[type=checkbox]').first().getAttribute('value');
    const ticked = await until_shown(`5;${first}`, 'tick');
    t.diagnostic(`a case ticked takes ${Math.round(ticked)} ms until shown`);
    assert.ok(!(await heard(tab)).some((words) => /^Calculating/.test(words)));
    // What was worked out ahead is what is worked out when asked.
    await visit(two, { at: '#people=5' }, async (other) => {
      await answered(other, '5;');
      assert.deepEqual(await texts(other, '#try-answer'), [own]);
    });
    assert.deepEqual(seen.errors, []);
    assert.deepEqual(seen.requests.filter((r) => !r.startsWith('blob:')), [url(two)]);
  }));

test('the mouse moves the slider, the space bar a switch, a button puts it back', () =>
  visit(two, {}, async (tab, seen) => {
    const slider = tab.locator('#try-people');
    await slider.scrollIntoViewIfNeeded();
    const { x, y, width, height } = await slider.boundingBox();
    await tab.mouse.move(x + width / 2, y + height / 2);
    await tab.mouse.down();
    await tab.mouse.move(x + width - 1, y + height / 2, { steps: 5 });
    await tab.mouse.up();
    const most = await slider.getAttribute('max');
    assert.equal(await slider.inputValue(), most);
    await answered(tab, `${most};`);
    assert.deepEqual(await texts(tab, '#try-people-now'), [`${most} people`]);

    await tab.getByRole('button', { name: 'Back to how it is' }).click();
    await answered(tab, '4;');
    assert.deepEqual(await texts(tab, '#try-tried'), ['As it is: 4 people.']);
    const [stays] = await texts(tab, '#try-answer');
    assert.deepEqual((await texts(tab, '#what-will-happen .answer')).slice(0, 1), [stays]);

    await tab.getByRole('checkbox', { name: /A toilet runs/ }).focus();
    await tab.keyboard.press('Space');
    await answered(tab, '4;leak');
    const [change] = await texts(tab, '#try-change');
    const own = await caseWords(tab, 'A toilet runs');
    assert.ok(own.includes(change), `"${change}" is not of "${own}"`);
    assert.deepEqual(seen.errors, []);
    assert.deepEqual(seen.requests.filter((r) => !r.startsWith('blob:')), [url(two)]);
  }));

test('what is tried fits, and has no fault for axe; the keyboard reaches all of it', () =>
  visit(two, { bypassCSP: true }, async (tab) => {
    await tab.locator('#try-leak').check();
    await answered(tab, '4;leak');
    await tab.emulateMedia({ media: 'print' });
    assert.ok(!(await tab.locator('#try-it').isVisible()));  // paper does not calculate
    await tab.emulateMedia({ media: 'screen' });
    for (const width of Object.values(widths)) {
      await tab.setViewportSize({ width, height: 800 });
      assert.deepEqual(await tab.evaluate(faultsOfLayout), [], `${width} pixels wide`);
      if (width !== widths.tablet)
        assert.deepEqual(await faultsOfAccess(tab), [], `${width} pixels wide`);
    }
    const controls = await tab.locator('#try-it :is(input, button):visible').count();
    assert.ok(controls >= 5);
    await tab.locator('h1').click();
    const reached = await tabThrough(tab);
    assert.ok([...reached].filter((name) => /^(INPUT|BUTTON)/.test(name)).length >= controls);
  }));

test('a link to what was tried runs it at once', () =>
  visit(two, { at: '#people=5&leak' }, async (tab) => {
    await answered(tab, '5;leak');
    assert.equal(await tab.locator('#try-people').inputValue(), '5');
    assert.ok(await tab.locator('#try-leak').isChecked());
  }));
