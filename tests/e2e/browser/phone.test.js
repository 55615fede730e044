// What a phone adds, each with a stand-in that counts: the screen that stays awake, the glass that is locked against
// water, a PDF that is passed on. No phone has run this; what a device does by itself is on the device checklist.
import assert from 'node:assert/strict';
import test from 'node:test';
import { serve } from '../lib/host.js';
import { browser, phone, quiet, unexpected } from '../lib/phone.js';
import { calls, named, touch } from '../lib/touch.js';
import { decided } from '../steps/ready.js';
import { open } from '../steps/screens.js';
import { FOR_CUTTING, sayFirst } from '../steps/survey.js';
import { surveyed } from '../steps/surveyed.js';

/** In the page: a device that can be kept awake and counts, and a page that can leave the screen. */
function wakes() {
  globalThis.wake = { asked: 0, released: 0 };
  class Held extends EventTarget {
    released = false;
    async release() {
      if (this.released) return;
      this.released = true;
      globalThis.wake.released += 1;
      this.dispatchEvent(new Event('release'));
    }
  }
  Object.defineProperty(navigator, 'wakeLock', {
    value: {
      request: async () => {
        globalThis.wake.asked += 1;
        return new Held();
      }
    }
  });
  let state = 'visible';
  Object.defineProperty(document, 'visibilityState', { get: () => state });
  globalThis.leaves = (next) => {
    state = next;
    document.dispatchEvent(new Event('visibilitychange'));
  };
}

/** In the page: a device that has no such thing. */
function never() {
  Object.defineProperty(navigator, 'wakeLock', { value: undefined });
}

/** In the page: a device whose apps take files, and what it was given; `answers` says how it ends. */
function shares() {
  globalThis.given = [];
  globalThis.answers = 'shared';
  navigator.canShare = ({ files }) => files.every((f) => f.type === 'application/pdf');
  navigator.share = async ({ files }) => {
    for (const file of files) globalThis.given.push([file.name, file.size, new TextDecoder().decode((await file.arrayBuffer()).slice(0, 5))]);
    if (globalThis.answers !== 'shared') throw new DOMException('', globalThis.answers);
  };
}

/** Begins the page anew with a stand-in for what the device has. */
async function begin(page, standIn) {
  await page.addInitScript(standIn);
  await page.reload();
  await page.getByRole('heading', { level: 1 }).waitFor();
}

/** Follows a link to another screen; an address that is typed would begin a page of its own. */
async function to(page, address, title) {
  await page.evaluate((hash) => {
    const link = document.body.appendChild(document.createElement('a'));
    link.href = hash;
    link.click();
    link.remove();
  }, address);
  await named(page, 'heading', title).and(page.locator('h1')).waitFor();
  await quiet(page);
}

/** What a screen reader finds to touch. */
async function heard(page) {
  const reader = await page.context().newCDPSession(page);
  const { nodes } = await reader.send('Accessibility.getFullAXTree');
  await reader.detach();
  return nodes.filter((n) => !n.ignored && ['button', 'link'].includes(n.role?.value)).map((n) => n.name.value);
}

test('the screen stays awake where people measure and work, and only there', { timeout: 60_000 }, async (t) => {
  const host = await serve(t, 'awake');
  const { job, runs: [run] } = await surveyed(host);
  const chrome = await browser(t);
  const { page, wrong } = await phone(chrome, host);
  await begin(page, wakes);
  const room = (name) => `#/job/${job}/run/${run.id}${name && `/${name}`}`;
  const told = () => page.evaluate(() => [globalThis.wake.asked, globalThis.wake.released]);
  await to(page, room(''), `Run ${run.name}`);
  assert.deepEqual(await told(), [0, 0]);
  await to(page, room('measure'), 'Measure');
  assert.deepEqual(await told(), [1, 0]);
  // From room to room it is kept, not asked for again.
  for (const [name, title] of [['work', 'Ticks'], ['tension', 'Tension'], ['gaps', 'Gaps']]) await to(page, room(name), title);
  assert.deepEqual(await told(), [1, 0]);
  await page.evaluate(() => globalThis.leaves('hidden'));
  assert.deepEqual(await told(), [1, 1]);
  await page.evaluate(() => globalThis.leaves('visible'));
  await quiet(page);
  assert.deepEqual(await told(), [2, 1]);
  await to(page, room('cuts'), 'Cut sheet');
  assert.deepEqual(await told(), [2, 2]);
  assert.deepEqual(unexpected(wrong), []);

  // A device that can't be asked says nothing of it.
  const { page: other, wrong: amiss } = await phone(chrome, host);
  await begin(other, never);
  await to(other, room('measure'), 'Measure');
  assert.deepEqual(unexpected(amiss), []);
});

test('a wet glass is locked with one touch and opened by a second of holding; nothing typed is lost', { timeout: 90_000 }, async (t) => {
  const host = await serve(t, 'wet');
  const { job, runs: [run] } = await surveyed(host);
  await decided(host, job, run);
  const { page, wrong } = await phone(await browser(t), host);
  await open(page, `#/job/${job}/run/${run.id}/measure?wire=4`, 'Measure');
  await sayFirst(page, [...FOR_CUTTING, ['With', 'Tape']]);
  for (const digit of '729') await touch(page, 'button', digit);
  const shown = await page.locator('[data-pad]').innerText();
  assert.ok((await heard(page)).includes('Rub out'), 'what is asked of a reader is answered');
  assert.match(shown, /729/);
  const lengths = async () => (await host.call('readSubject', { job, subject: `wire:${run.id}:4`, history: true })).facts.filter((f) => f.field === 'length').length;
  const before = await lengths();

  const lock = page.getByRole('alertdialog', { name: 'The glass is locked', exact: true });
  const held = named(lock, 'button', 'Hold for one second to unlock');
  const shut = async () => {
    await touch(page, 'button', 'Lock the glass against water');
    await lock.waitFor();
  };
  await shut();
  // Stray touches all over the glass, short ones on the button too, and a device that types.
  const glass = page.viewportSize();
  for (const [x, y] of [[0.1, 0.05], [0.5, 0.3], [0.2, 0.55], [0.8, 0.6], [0.5, 0.7], [0.9, 0.95]]) await page.touchscreen.tap(glass.width * x, glass.height * y);
  await held.tap();
  await page.keyboard.type('55');
  await page.keyboard.press('Enter');
  await page.keyboard.press('Tab');
  await page.keyboard.press('Escape');
  await lock.waitFor();
  assert.ok(await held.evaluate((e) => e === document.activeElement), 'the one thing that can be reached has the focus');
  assert.equal(await page.locator('[data-pad]').innerText(), shown);
  assert.equal(await lengths(), before);
  assert.deepEqual(await heard(page), ['Hold for one second to unlock']);

  // Two at once are a palm; one that stays opens.
  const box = await held.boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  const finger = await page.context().newCDPSession(page);
  const touches = (type, ...points) => finger.send('Input.dispatchTouchEvent', { type, touchPoints: points.map(([px, py], id) => ({ x: px, y: py, id })) });
  // Time passes as it is told to.
  await page.clock.install();
  const waits = (ms) => page.clock.runFor(ms);
  await touches('touchStart', [x, y]);
  await touches('touchStart', [x, y], [x, 60]);
  await waits(1400);
  assert.ok(await lock.isVisible(), 'a palm opens nothing');
  await touches('touchEnd');
  await touches('touchStart', [x, y]);
  await waits(500);
  await touches('touchEnd');
  await waits(600);
  assert.ok(await lock.isVisible(), 'half a second opens nothing');
  // A key of the pad lies below: it must not take the end of the touch that opened.
  await touches('touchStart', [x, y]);
  await waits(1400);
  await named(lock, 'button', 'Let go: it opens').waitFor();
  await touches('touchEnd');
  await lock.waitFor({ state: 'detached' });
  await quiet(page);
  assert.equal(await page.locator('[data-pad]').innerText(), shown);

  // By keys: short presses did nothing, a held one opens.
  for (const key of ['Enter', 'Escape']) {
    await shut();
    await page.keyboard.down(key);
    await waits(1400);
    await named(lock, 'button', 'Let go: it opens').waitFor();
    // A key that is held comes again and again.
    await page.keyboard.down(key);
    await page.keyboard.up(key);
    await lock.waitFor({ state: 'detached' });
    await quiet(page);
    assert.equal(await page.locator('[data-pad]').innerText(), shown);
  }
  await touch(page, 'button', '4');
  await calls(page, 'measure', () => named(page, 'button', /^Keep/).tap());
  await quiet(page);
  assert.equal(await lengths(), 1);

  // A pad that stands as the screen opens hears its keys before the lock does: it is deaf behind it all the same.
  await page.reload();
  const pad = page.locator('[data-pad]');
  await pad.waitFor();
  await quiet(page);
  const stood = await pad.innerText();
  await shut();
  await page.keyboard.type('94');
  await page.keyboard.press('Enter');
  assert.equal(await pad.innerText(), stood);
  await page.keyboard.down('Escape');
  await named(lock, 'button', 'Let go: it opens').waitFor();
  await page.keyboard.up('Escape');
  await lock.waitFor({ state: 'detached' });
  await page.keyboard.type('94');
  assert.notEqual(await pad.innerText(), stood);

  // Rounds have it too; a room at the desk does not.
  for (const [room, title, times] of [['tension', 'Tension', 1], ['gaps', 'Gaps', 1], ['work', 'Ticks', 1], ['layout', 'Layout of wires', 0]]) {
    await open(page, `#/job/${job}/run/${run.id}/${room}`, title);
    assert.equal(await named(page, 'button', 'Lock the glass against water').count(), times, title);
  }
  assert.deepEqual(unexpected(wrong), []);
});

test('a PDF is passed on where the device takes files, else it is saved as ever', { timeout: 90_000 }, async (t) => {
  const host = await serve(t, 'share');
  const { job, runs: [run] } = await surveyed(host);
  const chrome = await browser(t);
  const holes = `#/job/${job}/run/${run.id}/holes`;
  const write = async (page) => {
    await open(page, holes, 'Hole schedule');
    await touch(page, 'button', 'Write the template');
    await named(page, 'button', 'Save the PDF').waitFor();
  };
  const share = (page) => named(page, 'button', 'Share the PDF');
  const { page: plain } = await phone(chrome, host);
  await begin(plain, () => void (navigator.canShare = undefined));
  await write(plain);
  assert.equal(await share(plain).count(), 0);

  const { page, wrong } = await phone(chrome, host);
  await begin(page, shares);
  await write(page);
  await share(page).tap();
  await page.getByText('Passed on to what you chose.').waitFor();
  const [[name, size, begins]] = await page.evaluate(() => globalThis.given);
  assert.match(name, /^[a-z0-9-]+\.pdf$/);
  assert.ok(size > 1000, `${size} bytes`);
  assert.equal(begins, '%PDF-');

  // Closed by the person: nothing else happens, and nothing is said to be passed on.
  let saved = 0;
  page.on('download', () => (saved += 1));
  await page.evaluate(() => (globalThis.answers = 'AbortError'));
  await share(page).tap();
  await page.waitForFunction(() => globalThis.given.length === 2);
  await page.getByText('Passed on to what you chose.').waitFor({ state: 'detached' });
  assert.equal(saved, 0);
  // Refused by the device after all: it is saved instead.
  await page.evaluate(() => (globalThis.answers = 'NotAllowedError'));
  const [download] = await Promise.all([page.waitForEvent('download'), share(page).tap()]);
  assert.equal(download.suggestedFilename(), name);
  assert.deepEqual(unexpected(wrong), []);
});
