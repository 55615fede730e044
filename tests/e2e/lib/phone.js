// A phone of a person: Chromium with a touch screen of 390 × 844, and what must not happen on it.
import assert from 'node:assert/strict';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { chromium } from 'playwright-core';

/** The browser by the names that systems give it. */
const NAMES = ['/usr/bin/chromium', '/usr/bin/chromium-browser', '/snap/bin/chromium'];
const CHROMIUM = process.env.TAUTBOOK_CHROMIUM ?? NAMES.find((path) => existsSync(path)) ?? NAMES[0];
/** A phone, unless another glass is asked for: TAUTBOOK_GLASS=1440x900 runs the same journeys as on a desktop. */
const [width, height] = (process.env.TAUTBOOK_GLASS ?? '390x844').split('x').map(Number);
const GLASS = { viewport: { width, height }, hasTouch: true, isMobile: width < 900, deviceScaleFactor: width < 900 ? 2 : 1 };

/** Starts Chromium once for a test; it ends with the test. `more` are arguments of its own. */
export async function browser(t, more = []) {
  assert.ok(existsSync(CHROMIUM), `${CHROMIUM} is not there. Install the package chromium (chromium-browser on Ubuntu).`);
  const args = ['--no-sandbox', '--disable-quic', '--no-first-run', '--disable-background-networking', ...more];
  const started = await chromium.launch({ executablePath: CHROMIUM, args });
  t.after(() => started.close());
  return started;
}

/** A page on a host, with everything that went wrong on it. */
export async function phone(chrome, host, more = {}) {
  const context = await chrome.newContext({ ...GLASS, locale: 'en-AU', ...more });
  const page = await context.newPage();
  page.setDefaultTimeout(15_000);
  await page.addInitScript(countAsked);
  await page.addInitScript(countTouched);
  const wrong = watch(page);
  await page.goto(host.address);
  // The page has taken its token out of the address once it shows anything.
  await page.getByRole('heading', { level: 1 }).waitFor();
  return { page, host, wrong };
}

/** In the page: how many questions to the program are not answered yet. */
function countAsked() {
  const ask = globalThis.fetch;
  globalThis.unanswered = 0;
  globalThis.fetch = async (...what) => {
    globalThis.unanswered += 1;
    try {
      return await ask(...what);
    } finally {
      globalThis.unanswered -= 1;
    }
  };
}

/** In the page: how often a finger came down on the glass, before any screen hears of it. */
function countTouched() {
  globalThis.touched = 0;
  globalThis.addEventListener('pointerdown', (event) => void (globalThis.touched += event.isTrusted ? 1 : 0), { capture: true });
}

/** How often the glass was touched since the page began or was last asked to count anew. */
export const touched = (page) => page.evaluate(() => globalThis.touched);
export const countAnew = (page) => page.evaluate(() => void (globalThis.touched = 0));

/** Waits until the page asks nothing more: no question open over several frames. */
export async function quiet(page) {
  await page.evaluate(() => void (globalThis.calm = 0));
  await page.waitForFunction(() => {
    globalThis.calm = globalThis.unanswered === 0 && document.readyState === 'complete' ? globalThis.calm + 1 : 0;
    return globalThis.calm > 6;
  });
}

/** Collects page errors, console errors and violations of the content policy, with where they were. */
function watch(page) {
  const wrong = [];
  const add = (text) => wrong.push(`${text} (at ${page.url().replace(/^[^#]*/, '')})`);
  page.on('pageerror', (error) => add(`error: ${error.message}`));
  page.on('console', (message) => {
    if (message.type() !== 'error' && !/Content Security Policy/i.test(message.text())) return;
    const at = message.location().url.replace(/^https?:\/\/[^/]+/, '');
    add(`console: ${message.text()} [${at}]`);
  });
  return wrong;
}

/**
 * What went wrong but was not meant to. `refusals` are the commands that the program was made to
 * refuse, taken out once each: Chromium reports every refused request as an error.
 */
export function unexpected(wrong, refusals = []) {
  const left = [...wrong];
  for (const name of refusals) {
    const at = left.findIndex((line) => line.includes(`[/api/${name}]`));
    assert.notEqual(at, -1, `the program did not refuse ${name}, though the test made it`);
    left.splice(at, 1);
  }
  return left;
}

/** With TAUTBOOK_SIGHTS set to a folder, keeps a sight of each page there, to look at a failure. */
export async function keepSights(name, pages) {
  const folder = process.env.TAUTBOOK_SIGHTS;
  if (!folder) return;
  for (const [i, page] of pages.entries()) {
    await page.screenshot({ path: join(folder, `${name.replace(/\W+/g, '-')}-${i + 1}.png`) });
  }
}

/** Runs one step as a test of its own; what follows a failed one would only pretend, so it ends the journey. */
export async function inTurn(t, name, run, pages) {
  let failed = true;
  await t.test(name, async () => {
    await run();
    failed = false;
  });
  if (!failed) return;
  await keepSights(name, pages);
  throw new Error(`it ended at: ${name}`);
}
