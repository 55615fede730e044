// What every screen owes to every person: WCAG 2.2 AA as far as a program can see it, thumbs in gloves, small glass, large text.
import assert from 'node:assert/strict';
import test from 'node:test';
import axe from 'axe-core';
import { folder, serve } from '../lib/host.js';
import { browser, phone, quiet, unexpected } from '../lib/phone.js';
import { at, row } from '../lib/touch.js';
import { everything } from '../steps/everything.js';
import { decided } from '../steps/ready.js';
import { open, screens, unfold } from '../steps/screens.js';
import { surveyed } from '../steps/surveyed.js';

const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
/** The smallest side of what is touched, in CSS pixels; half a pixel is rounding. */
const THUMB = 47.5;
const KEY = 55.5;

async function stand(t, name, more) {
  const host = await serve(t, name);
  const job = await surveyed(host);
  // So far that turns are asked for and the floor has a low spot.
  const [run] = job.runs;
  await decided(host, job.job, run);
  await host.call('say', { job: job.job, claims: [{ subject: run.bays[1].subject, field: 'lowSpot', value: { levelNm: -20_000_000 } }] });
  const { page } = await phone(await browser(t), host, more);
  return { page, all: screens(job) };
}

test('no screen breaks a rule of accessibility that a program can check, by day and by night', { timeout: 360_000 }, async (t) => {
  const { page, all } = await stand(t, 'access', { reducedMotion: 'reduce' });
  // Every screen is a page of its own here: the check comes along.
  await page.addInitScript(axe.source);
  await page.reload();
  const found = new Set();
  const unfolded = [];
  for (const [address, title] of all) {
    await open(page, address, title);
    if (await unfold(page, address)) unfolded.push(title);
    // At its end a page has nothing below the large act: what lies there elsewhere scrolls clear of it.
    await page.evaluate(() => scrollTo(0, document.body.scrollHeight));
    for (const colorScheme of ['light', 'dark']) {
      await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
      for (const line of await page.evaluate(broken, RULES)) found.add(`${address.replace(/[0-9a-z]{20,}/g, '…')} ${colorScheme}: ${line}`);
    }
  }
  assert.deepEqual([...found], []);
  assert.deepEqual(unfolded, ['Hole schedule', 'Tension', 'Hole schedule']);

  // The check itself sees a fault: this one is made.
  await page.evaluate(() => document.querySelector('h1').insertAdjacentHTML('afterend', '<button></button>'));
  assert.match((await page.evaluate(broken, RULES)).join('\n'), /button-name/);
});

test('a job with all that can be in it, and its cards open, breaks none either', { timeout: 300_000 }, async (t) => {
  const host = await serve(t, 'access-all');
  const job = await surveyed(host);
  const [run] = job.runs;
  const [post] = run.posts;
  await everything(host, job, await serve(t, 'access-other'), await folder(t, 'shared'));
  const { page, wrong } = await phone(await browser(t), host, { reducedMotion: 'reduce' });
  await page.addInitScript(axe.source);
  await page.reload();
  await at(page, 'Jobs');
  const found = new Set();
  const of = `#/job/${job.job}`;
  const look = async (name) => {
    await quiet(page);
    for (const colorScheme of ['light', 'dark']) {
      await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
      for (const line of await page.evaluate(broken, RULES)) found.add(`${name} ${colorScheme}: ${line}`);
    }
  };
  for (const [room, title] of [['', job.title], ['/missing', 'What is missing'], ['/handover', 'Handover'], ['/signoffs', 'Sign-offs']]) {
    await open(page, `${of}${room}`, title);
    await look(title);
  }
  const card = (name) => page.getByRole('dialog', { name, exact: true });
  /** Each list with the card that opens from it. */
  for (const [room, title, name] of [['pictures', 'Pictures', 'Gauge'], ['defects', 'Defects', 'Split at the base'], ['visits', 'Visits', /2026/], ['tools', 'Tools', 'probe 125'], ['documents', 'Documents', 'Letter']]) {
    await open(page, `${of}/${room}`, title);
    await look(title);
    await page.getByRole('button', { name }).first().tap();
    await page.getByRole('dialog').waitFor();
    await look(`${title}, card`);
  }
  await open(page, `${of}/run/${run.id}?at=${encodeURIComponent(post.subject)}`, `Run ${run.name}`);
  for (const history of await card(`Post ${post.name}`).locator('summary').all()) await history.tap();
  await look('post with everything');
  await row(card(`Post ${post.name}`), 'Material');
  const fact = card('Material');
  await fact.getByRole('region', { name: 'Two people say different things' }).waitFor();
  await look('a dispute');
  await fact.getByRole('button', { name: 'Take Ann’s' }).first().tap();
  await look('its reasons');
  assert.deepEqual([...found], []);
  // What is seen and not said is a fault to it: this one is made.
  await page.evaluate(() => document.querySelector('h1').insertAdjacentHTML('afterend', '<button aria-label="Something else">What is seen here</button>'));
  assert.match((await page.evaluate(broken, RULES)).join('\n'), /label-content-name-mismatch/);
  assert.deepEqual(unexpected(wrong), []);
});

/** In the page: each broken rule with the first places that break it. What is seen on a button is part of its name (2.5.3). */
async function broken(tags) {
  const { violations } = await globalThis.axe.run(document, { runOnly: { type: 'tag', values: tags }, rules: { 'label-content-name-mismatch': { enabled: true } } });
  return violations.map((v) => `${v.id}: ${v.nodes.slice(0, 3).map((n) => `${n.target.join(' ')} ${n.failureSummary.split('\n')[1]?.trim() ?? ''}`).join(' | ')}`);
}

test('what is touched is large enough for a glove', { timeout: 180_000 }, async (t) => {
  const { page, all } = await stand(t, 'thumb');
  const found = new Set();
  for (const [address, title] of all) {
    await open(page, address, title);
    await unfold(page, address);
    for (const line of await page.evaluate(small, [THUMB, KEY])) found.add(`${title}: ${line}`);
  }
  assert.deepEqual([...found], []);
  await page.evaluate(() => document.querySelector('h1').insertAdjacentHTML('afterend', '<button>x</button>'));
  assert.match((await page.evaluate(small, [THUMB, KEY])).join('\n'), /^button x/);
});

/** In the page: what can be touched and is smaller than a thumb, the pad's keys than a gloved one. */
function small([thumb, key]) {
  const seen = (e) => e.checkVisibility() && e.getBoundingClientRect().width > 1;
  // A radio is touched by its whole label; things in the drawing are found by nearness and have rows besides.
  const touched = [...document.querySelectorAll('button, a[href], select, textarea, summary, input:not([type=radio], [type=file]), label:has(> input[type=radio]), label:has(+ input[type=file])')];
  return touched.filter(seen).flatMap((e) => {
    const { width, height } = e.getBoundingClientRect();
    const least = e.closest('[role=group]')?.matches('.pad') ? key : thumb;
    // Words in a line are as wide as they are.
    const wide = e.matches('p a, .says a') || width >= least;
    return height >= least && wide ? [] : [`${e.tagName.toLowerCase()} ${(e.getAttribute('aria-label') ?? e.textContent).trim().slice(0, 40)}: ${Math.round(width)} × ${Math.round(height)}`];
  });
}

test('no word is cut or pushed off a narrow glass, nor with text twice as large', { timeout: 300_000 }, async (t) => {
  // A phone's own browser would show a page that is too wide smaller, and hide what is cut.
  const { page, all } = await stand(t, 'narrow', { isMobile: false });
  const found = new Set();
  for (const [address, title] of all) {
    await open(page, address, title);
    await unfold(page, address);
    for (const [width, height, size] of [[320, 700, '100%'], [390, 844, '200%'], [320, 700, '200%']]) {
      await page.setViewportSize({ width, height });
      await page.evaluate((size) => (document.documentElement.style.fontSize = size), size);
      await page.evaluate(() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done))));
      for (const line of await page.evaluate(cut)) found.add(`${title} at ${width}, ${size}: ${line}`);
    }
    await page.evaluate(() => (document.documentElement.style.fontSize = ''));
    await page.setViewportSize({ width: 390, height: 844 });
  }
  assert.deepEqual([...found], []);
  await page.evaluate(() => document.querySelector('h1').insertAdjacentHTML('afterend', '<p id="cut"></p>'));
  await page.evaluate(() => Object.assign(document.querySelector('#cut').style, { whiteSpace: 'nowrap' }));
  await page.evaluate(() => (document.querySelector('#cut').textContent = 'words '.repeat(60)));
  assert.match((await page.evaluate(cut)).join('\n'), /words/);
});

/** In the page: words that end outside the glass or outside a box that hides what leaves it, and can't be scrolled to. */
function cut() {
  const found = [];
  const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    const of = node.parentElement;
    if (!node.data.trim() || !of.checkVisibility() || of.closest('.hidden, .skip:not(:focus), #svelte-announcer, svg, option')) continue;
    const range = document.createRange();
    range.selectNodeContents(node);
    let left = 0;
    let right = innerWidth;
    let scrolls = false;
    for (let box = of; box && box !== document.body; box = box.parentElement) {
      const flow = getComputedStyle(box).overflowX;
      if (flow === 'auto' || flow === 'scroll') scrolls ||= box.matches('.scroll, .frame');
      if (flow === 'hidden' || flow === 'clip') {
        const edge = box.getBoundingClientRect();
        [left, right] = [Math.max(left, edge.left), Math.min(right, edge.right)];
      }
    }
    const out = [...range.getClientRects()].some((r) => r.width > 0 && (r.left < left - 1 || r.right > right + 1));
    if (out && !scrolls) found.push(`“${node.data.trim().slice(0, 40)}”`);
  }
  return found;
}
