// What every part of the page must pass, whatever is in it.
import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';

// Runs in the page: what sticks out, must be scrolled, or is too small to read.
export function faultsOfLayout() {
  const found = [];
  const screen = document.documentElement;
  if (screen.scrollWidth > screen.clientWidth) found.push(`scrolls to ${screen.scrollWidth}`);
  const say = (e, why) => found.push(`${e.tagName} "${e.textContent.trim().slice(0, 60)}" ${why}`);
  for (const e of document.querySelectorAll('body *')) {
    const box = e.getBoundingClientRect();
    if (e.checkVisibility() && box.width > 0 && box.right > screen.clientWidth + 1)
      say(e, 'sticks out');
    if (e.scrollWidth > e.clientWidth + 1 && getComputedStyle(e).overflowX !== 'visible')
      say(e, 'scrolls');
  }
  for (const word of document.querySelectorAll('svg text')) {
    if (!word.checkVisibility()) continue;
    const svg = word.ownerSVGElement, frame = svg.getBoundingClientRect();
    const box = word.getBoundingClientRect();
    if (box.left < frame.left - 1 || box.right > frame.right + 1 || box.top < frame.top - 1 ||
        box.bottom > frame.bottom + 1)
      say(word, 'is cut off');
    const size = parseFloat(getComputedStyle(word).fontSize) * svg.getScreenCTM().a;
    if (size < 11) say(word, `is ${size} pixels high`);
  }
  return found;
}

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

// What axe finds on the page as it stands. Needs a visit with bypassCSP.
export async function faultsOfAccess(tab) {
  await tab.evaluate(axe);
  const { violations, passes } = await tab.evaluate(() => window.axe.run({
    runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
    resultTypes: ['violations'],
  }));
  assert.ok(passes.some((rule) => rule.id === 'color-contrast'));
  return violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.html.slice(0, 120)).join(' ')}`);
}

// Tab from the top to the end; everything reached shows that it is, and is in view.
export async function tabThrough(tab) {
  const reached = new Set();
  for (;;) {
    await tab.keyboard.press('Tab');
    const here = await tab.evaluate(() => {
      const e = document.activeElement;
      if (e === document.body || e === document.documentElement) return null;
      const style = getComputedStyle(e), box = e.getBoundingClientRect();
      return {
        name: `${e.tagName} ${[...document.querySelectorAll('*')].indexOf(e)}`,
        outline: style.outlineStyle !== 'none' && parseFloat(style.outlineWidth) >= 2 &&
          style.outlineColor !== 'rgb(255, 255, 255)' && !/^rgba.*, 0\)$/.test(style.outlineColor),
        inView: box.width > 0 && box.left >= -1 && box.right <= innerWidth + 1 && box.top >= -1 &&
          box.bottom <= innerHeight + 1,
      };
    });
    if (here === null || reached.has(here.name)) return reached;
    assert.ok(here.outline, `no outline: ${here.name}`);
    assert.ok(here.inView, `not in view: ${here.name}`);
    reached.add(here.name);
  }
}
