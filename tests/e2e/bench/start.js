// How long a phone's slow processor takes to the first usable screen, and from a touch to the paint that answers it:
// measured and told, never judged.
import assert from 'node:assert/strict';
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import test from 'node:test';
import { copies } from '../lib/copies.js';
import { folder, serve } from '../lib/host.js';
import { browser, phone, quiet } from '../lib/phone.js';
import { open } from '../steps/screens.js';
import { FOR_CUTTING, sayFirst } from '../steps/survey.js';
import { imported } from '../steps/surveyed.js';
import { survey, told } from './common.js';

const STARTS = 7;
const SLOWED = 4;
const RUNS = 40;
const WIRES = 25;
const PICTURES = 2000;

/** In the page, before anything else: when its first title stands with no question open, and how long touches take to their paint. */
function watched() {
  globalThis.touches = [];
  new PerformanceObserver((list) => {
    for (const one of list.getEntries()) if (one.interactionId) globalThis.touches.push([one.interactionId, one.duration]);
  }).observe({ type: 'event', durationThreshold: 16, buffered: true });
  const look = () => {
    const there = document.querySelector('h1') && globalThis.unanswered === 0 && !document.body.textContent.includes('Reading the record …');
    if (there) requestAnimationFrame(() => void (globalThis.usable = performance.now()));
    else requestAnimationFrame(look);
  };
  requestAnimationFrame(look);
}

/** Pictures on all posts of the job, and some that are tied to nothing yet. */
async function pictured(t, host, job) {
  const place = await folder(t, 'pictures');
  const posts = job.runs.flatMap((run) => run.posts);
  for (const [n, bytes] of (await copies(PICTURES)).entries()) {
    const path = join(place, `${n}.jpg`);
    await writeFile(path, bytes);
    const shows = n % 10 === 0 ? [] : [{ subject: posts[n % posts.length].subject, evidence: 'postFixing' }];
    await host.call('addPhoto', { job: job.job, source: { kind: 'file', path }, name: `${n}.jpg`, caption: `Picture ${n}`, shows });
  }
}

/** A page on the host whose processor is slowed. */
async function slow(chrome, host) {
  const { page, wrong } = await phone(chrome, host);
  const devtools = await page.context().newCDPSession(page);
  await devtools.send('Emulation.setCPUThrottlingRate', { rate: SLOWED });
  await page.addInitScript(watched);
  page.setDefaultTimeout(120_000);
  return { page, wrong };
}

/** Starts the page where it is again and again: to its first paint, and to its first usable screen. */
async function starts(page) {
  const times = { painted: [], usable: [] };
  for (let i = 0; i < STARTS; i += 1) {
    await page.reload();
    await page.waitForFunction(() => globalThis.usable !== undefined && performance.getEntriesByName('first-contentful-paint').length > 0);
    const [painted, usable] = await page.evaluate(() => [performance.getEntriesByName('first-contentful-paint')[0].startTime, globalThis.usable]);
    assert.ok(usable > 0);
    times.painted.push(painted);
    times.usable.push(usable);
  }
  return { painted: told(times.painted), usable: told(times.usable) };
}

/** Touches of what `act` does: from the finger to the paint. Those under 16 ms are not told by the browser and count as 16. */
async function touches(page, count, act) {
  await page.evaluate(() => void (globalThis.touches = []));
  for (let i = 0; i < count; i += 1) {
    await act(i);
    await quiet(page);
  }
  // A touch is several events: the longest is what the person waits for.
  const times = await page.evaluate(() => {
    const most = new Map();
    for (const [touch, duration] of globalThis.touches) most.set(touch, Math.max(most.get(touch) ?? 0, duration));
    return [...most.values()];
  });
  while (times.length < count) times.push(16);
  return told(times);
}

test(`start and touches, the processor slowed ${SLOWED} times`, { timeout: 1_200_000 }, async (t) => {
  const file = join(await folder(t, 'survey'), 'survey.json');
  await writeFile(file, JSON.stringify(survey(RUNS, 5, WIRES)));
  const chrome = await browser(t);
  const empty = await serve(t, 'empty');
  const host = await serve(t, 'start');
  const job = await imported(host, file);
  await pictured(t, host, job);
  const figures = {};
  const tell = (name, times) => {
    figures[name] = times;
    t.diagnostic(`${name}: ${JSON.stringify(times)}`);
  };
  tell('no book yet', await starts((await slow(chrome, empty)).page));
  const { page, wrong } = await slow(chrome, host);
  const of = `#/job/${job.job}`;
  const run = `${of}/run/${job.runs[0].id}`;
  for (const [name, address, title] of [['jobs', '#/', 'Jobs'], [`job of ${RUNS} runs`, of, 'A long job'], ['its first run', run, 'Run L1'], ['measure', `${run}/measure`, 'Measure'], [`${PICTURES} pictures`, `${of}/pictures`, 'Pictures']]) {
    await open(page, address, title);
    tell(name, await starts(page));
  }

  await open(page, `${run}/measure?wire=4`, 'Measure');
  await sayFirst(page, [...FOR_CUTTING, ['With', 'Tape']]);
  const pad = page.getByRole('group', { name: 'Number pad' });
  tell('touch: a digit', await touches(page, 20, (i) => pad.getByRole('button', { name: String((i % 9) + 1), exact: true }).tap()));
  await open(page, run, `Run ${job.runs[0].name}`);
  tell('touch: drawn closer', await touches(page, 8, (i) => page.locator('figcaption button').nth(i % 2 === 0 ? 2 : 1).tap()));
  assert.deepEqual(wrong, []);
  if (process.env.TAUTBOOK_START) await writeFile(process.env.TAUTBOOK_START, `${JSON.stringify(figures, null, 2)}\n`);
});
