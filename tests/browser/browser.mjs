// A page in Debian's chromium, closed again at the end.
import { chromium } from 'playwright-core';
import { url } from './pages.mjs';

export const widths = { phone: 360, tablet: 768, desk: 1280 };

let browser;
export async function start() {
  browser = await chromium.launch({
    executablePath: process.env.CHROMIUM ?? '/usr/bin/chromium',
    chromiumSandbox: process.getuid() !== 0,  // root has none
  });
}
export const stop = () => browser.close();

// use(tab, seen) on the open page. seen: all it asked for, its dialogs and errors.
export async function visit(page, options, use) {
  const { width = widths.desk, at = '', ...rest } = options;
  const context = await browser.newContext({ viewport: { width, height: 800 }, ...rest });
  try {
    const seen = { requests: [], dialogs: [], errors: [] };
    context.on('request', (request) => seen.requests.push(request.url()));
    const tab = await context.newPage();
    tab.on('dialog', (dialog) => {
      seen.dialogs.push(dialog.message());
      return dialog.dismiss();
    });
    tab.on('pageerror', (error) => seen.errors.push(String(error)));
    tab.on('console', (line) => {
      if (line.type() === 'error') seen.errors.push(line.text());
    });
    await tab.goto(url(page) + at);
    await use(tab, seen);
  } finally {
    await context.close();
  }
}

export const openDetails = (tab) =>
  tab.evaluate(() => document.querySelectorAll('details').forEach((d) => (d.open = true)));

// Visible text of everything that matches, spaces as one.
export const texts = async (tab, selector) =>
  (await tab.locator(selector).allTextContents()).map((t) => t.replace(/\s+/g, ' ').trim());
