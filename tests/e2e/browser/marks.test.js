// Marks on a copy of a picture: drawn by a finger and by keys, left half way, undone, differed on; the picture stays as it was.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import test from 'node:test';
import axe from 'axe-core';
import { folder, root, serve } from '../lib/host.js';
import { browser, phone, quiet, unexpected } from '../lib/phone.js';
import { calls, named, touch, write } from '../lib/touch.js';
import { exchange, joined } from '../steps/met.js';
import { open } from '../steps/screens.js';
import { surveyed } from '../steps/surveyed.js';

const CAPTION = 'Base of A1';
const PHOTO = join(root, 'fixtures/photos/orientation-6.jpg');
const RULES = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'];
/** The smallest side of what a gloved hand touches here, in CSS pixels; half a pixel is rounding. */
const GLOVE = 55.5;

/** A job with one picture, and its card open on a phone. */
async function onPicture(t, name, more) {
  const host = await serve(t, name);
  const job = await surveyed(host);
  const shows = [{ subject: job.runs[0].posts[0].subject, evidence: 'postFixing' }];
  const { created } = await host.call('addPhoto', { job: job.job, source: { kind: 'file', path: PHOTO }, name: 'a.jpg', caption: CAPTION, shows });
  const { page, wrong } = await phone(await browser(t), host, { reducedMotion: 'reduce', ...more });
  await page.addInitScript(axe.source);
  await page.reload();
  await page.getByRole('heading', { level: 1 }).waitFor();
  const photo = async () => (await host.call('readJob', { job: job.job })).photos[0];
  const marks = async () => (await photo()).marks?.words[0].value?.marks;
  await open(page, `#/job/${job.job}/pictures`, 'Pictures');
  await page.getByRole('list', { name: 'Pictures' }).getByRole('button').first().tap();
  const card = page.getByRole('dialog', { name: CAPTION, exact: true });
  const marking = page.getByRole('dialog', { name: `Mark: ${CAPTION}`, exact: true });
  const stage = named(marking, 'button', 'Picture to draw on');
  return { host, job, page, wrong, photo, marks, card, marking, stage, picture: created };
}

/** A finger on the picture: places are shares of it, as it lies on the glass. */
async function fingerOn(page, stage) {
  const glass = await page.context().newCDPSession(page);
  const send = (type, points) => glass.send('Input.dispatchTouchEvent', { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
  const lies = async () => {
    await stage.locator('img').waitFor();
    return stage.evaluate(async (button) => {
      const [box, img] = [button.getBoundingClientRect(), button.querySelector('img')];
      await img.decode();
      const scale = Math.min(box.width / img.naturalWidth, box.height / img.naturalHeight);
      const [width, height] = [img.naturalWidth * scale, img.naturalHeight * scale];
      return { left: box.left + (box.width - width) / 2, top: box.top + (box.height - height) / 2, width, height };
    });
  };
  const at = (box, [x, y]) => [box.left + box.width * x, box.top + box.height * y];
  return {
    send,
    async draws(...path) {
      const box = await lies();
      const [first, ...rest] = path.map((place) => at(box, place));
      await send('touchStart', [first]);
      for (const place of rest) await send('touchMove', [place]);
      await send('touchEnd', []);
    },
    async touches(place) {
      const [x, y] = at(await lies(), place);
      await page.touchscreen.tap(x, y);
    }
  };
}

const near = (found, wanted, what) => assert.ok(Math.abs(found - wanted) <= 8, `${what}: ${found} is not near ${wanted}`);

/** What breaks a rule now, by day and by night. */
async function broken(page) {
  await quiet(page);
  const found = [];
  for (const colorScheme of ['light', 'dark']) {
    await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
    found.push(...(await page.evaluate(async (tags) => {
      const { violations } = await globalThis.axe.run(document, { runOnly: { type: 'tag', values: tags }, rules: { 'label-content-name-mismatch': { enabled: true } } });
      return violations.map((v) => `${v.id}: ${v.nodes.map((n) => n.target.join(' ')).join(' | ')}`);
    }, RULES)).map((line) => `${colorScheme}: ${line}`));
  }
  return found;
}

test('a finger draws arrow, ring and words; a reload and a turned phone lose nothing; the picture stays as it was', { timeout: 120_000 }, async (t) => {
  const { host, page, wrong, photo, marks, card, marking, stage } = await onPicture(t, 'marks');
  const before = await photo();
  assert.equal(before.marks, undefined);
  await touch(card, 'button', 'Mark');
  await marking.waitFor();
  const finger = await fingerOn(page, stage);
  const drawn = marking.getByRole('list', { name: 'Marks so far' }).getByRole('listitem');
  const keep = named(marking, 'button', 'Keep');
  assert.equal(await keep.isDisabled(), true, 'nothing is drawn yet');

  await finger.draws([0.2, 0.2], [0.4, 0.3], [0.6, 0.5]);
  await drawn.getByText(/^Arrow, from/).waitFor();
  // A touch alone draws no arrow, and neither do two fingers.
  await finger.touches([0.5, 0.5]);
  await marking.getByRole('status').getByText('Draw with the finger down').waitFor();
  await touch(marking, 'button', 'Ring');
  await finger.draws([0.4, 0.4], [0.5, 0.5], [0.7, 0.6]);
  await drawn.getByText(/^Ring, from/).waitFor();
  const box = await stage.boundingBox();
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2];
  await finger.send('touchStart', [[x, y]]);
  await finger.send('touchStart', [[x, y], [x + 60, y + 60]]);
  await finger.send('touchMove', [[x + 90, y], [x + 60, y + 60]]);
  await finger.send('touchEnd', []);
  assert.equal(await drawn.count(), 2, 'two fingers draw nothing');

  // Every tool is as large as a glove asks, on the narrowest glass too.
  for (const [width, height] of [[390, 844], [320, 640], [844, 390]]) {
    await page.setViewportSize({ width, height });
    const small = await marking.evaluate((dialog, least) => [...dialog.querySelectorAll('button, input')].filter((one) => {
      const { width, height } = one.getBoundingClientRect();
      return width < least || height < least;
    }).map((one) => one.textContent), GLOVE);
    assert.deepEqual(small, [], `${width} x ${height}`);
  }
  // Held flat now: the words go to the same part of the picture.
  await touch(marking, 'button', 'Words');
  await finger.touches([0.1, 0.9]);
  await marking.getByRole('status').getByText('Type the words first.').waitFor();
  await write(marking, 'The words', 'rust here');
  await finger.touches([0.25, 0.75]);
  await drawn.getByText('“rust here”').waitFor();
  await page.setViewportSize({ width: 390, height: 844 });
  await write(marking, 'The words', 'x'.repeat(10_000));
  assert.equal(await named(marking, 'textbox', 'The words').inputValue(), 'x'.repeat(60));
  await finger.touches([0.9, 0.1]);
  await drawn.nth(3).waitFor();
  await touch(marking, 'button', 'Take off the last');
  assert.equal(await drawn.count(), 3);
  assert.deepEqual(await broken(page), []);

  await write(marking, 'The words', 'half a w');
  await page.waitForResponse((r) => r.url().endsWith('/api/keep') && /half a w/.test(r.request().postDataJSON()?.value ?? ''));
  await page.reload();
  const left = card.getByRole('group', { name: 'Not saved yet' });
  await left.getByText('an arrow, a ring, “rust here”, half a w').waitFor();
  assert.equal((await photo()).marks, undefined, 'what is half drawn is no word of the record');
  await touch(left, 'button', 'Go on');
  assert.equal(await named(marking, 'textbox', 'The words').inputValue(), 'half a w');
  await write(marking, 'The words', '');
  assert.equal(await drawn.count(), 3);

  // Two touches in one turn keep once.
  const kept = [];
  page.on('request', (r) => r.url().endsWith('/api/markPicture') && kept.push(r));
  await calls(page, 'markPicture', () => keep.evaluate((button) => [1, 2].forEach(() => button.click())));
  await marking.waitFor({ state: 'detached' });
  assert.equal(kept.length, 1);
  const [arrow, ring, text] = await marks();
  assert.deepEqual([arrow.kind, ring.kind, text.kind, text.text], ['arrow', 'ring', 'text', 'rust here']);
  for (const [mark, x, y, toX, toY] of [[arrow, 200, 200, 600, 500], [ring, 400, 400, 700, 600]]) {
    for (const [name, wanted] of Object.entries({ x, y, toX, toY })) near(mark[name], wanted, `${mark.kind} ${name}`);
  }
  near(text.x, 250, 'words x');
  near(text.y, 750, 'words y');
  assert.equal(await left.count(), 0);
  assert.deepEqual(await broken(page), []);

  // Shown by words, and without it at one touch.
  await card.getByText('Marked: an arrow, a ring, “rust here”.').waitFor();
  const shown = card.locator('svg text');
  assert.equal(await shown.count(), 1);
  await touch(card, 'button', 'Without marks');
  assert.equal(await shown.count(), 0);
  await touch(card, 'button', 'Without marks');
  assert.equal(await shown.count(), 1);

  // The very bytes that were taken in, and the same view and thumb.
  const after = await photo();
  assert.deepEqual(after.files, before.files);
  const original = after.files.find((file) => file.role === 'original').sha256;
  assert.deepEqual(await readFile(join(host.data, 'photos', original.slice(0, 2), `${original}.jpg`)), await readFile(PHOTO));

  await touch(page, 'button', 'Undo');
  await card.getByText(/^Marked:/).waitFor({ state: 'detached' });
  assert.equal((await photo()).marks.standing, 'withdrawn');
  assert.deepEqual(unexpected(wrong), []);
});

test('a picture is marked by keys alone, changed, and freed of its marks; the list tells it', { timeout: 90_000 }, async (t) => {
  const { page, wrong, photo, marks, card, marking, stage } = await onPicture(t, 'marks-keys');
  const press = async (...keys) => {
    for (const key of keys) await page.keyboard.press(key);
  };
  await named(card, 'button', 'Mark').focus();
  await press('Enter');
  await marking.waitFor();
  await stage.locator('img').evaluate((img) => img.decode());
  // The picture is the first that is come to; nothing behind the card is.
  await press('Tab');
  assert.equal(await stage.evaluate((button) => button === document.activeElement), true);
  const status = marking.getByRole('status');
  await press('ArrowLeft', 'ArrowUp', 'Shift+ArrowUp');
  await status.getByText('Cross at 48 % across, 47 % down.').waitFor();
  await press('Enter');
  await status.getByText('It begins at').waitFor();
  // What was begun is let go of; the card stays.
  await press('ArrowRight', 'Escape');
  assert.equal(await marking.count(), 1);
  await press('Enter', 'ArrowRight', 'ArrowRight', 'ArrowDown', 'Enter');
  await status.getByText('Drawn: Arrow').waitFor();
  await named(marking, 'button', 'Words').focus();
  await press('Enter');
  await named(marking, 'textbox', 'The words').fill('crack');
  await stage.focus();
  await press('ArrowDown', 'Enter');
  await status.getByText('Drawn: “crack”').waitFor();
  await named(marking, 'button', 'Keep').focus();
  await calls(page, 'markPicture', () => press('Enter'));
  await marking.waitFor({ state: 'detached' });
  const [arrow, crack] = await marks();
  assert.deepEqual(arrow, { kind: 'arrow', x: 500, y: 470, toX: 550, toY: 495 });
  assert.deepEqual(crack, { kind: 'text', x: 550, y: 520, text: 'crack' });

  // Taken off one by one: a picture without marks says so, and nothing is undone that nothing revives.
  await touch(card, 'button', 'Mark');
  await touch(marking, 'button', 'Take off the last');
  await touch(marking, 'button', 'Leave without keeping');
  await marking.waitFor({ state: 'detached' });
  assert.equal((await marks()).length, 2);
  assert.equal(await card.getByRole('group', { name: 'Not saved yet' }).count(), 0);
  await page.keyboard.press('Escape');
  await card.waitFor({ state: 'detached' });
  const list = page.getByRole('list', { name: 'Pictures' });
  await list.getByText('marked: an arrow, “crack”').waitFor();
  assert.deepEqual(await broken(page), []);
  await list.getByRole('button').first().tap();
  await touch(card, 'button', 'Mark');
  for (let n = 0; n < 2; n += 1) await touch(marking, 'button', 'Take off the last');
  await calls(page, 'markPicture', () => touch(marking, 'button', 'Keep'));
  await marking.waitFor({ state: 'detached' });
  assert.equal((await photo()).marks.standing, 'withdrawn');
  assert.deepEqual(unexpected(wrong), []);
});

test('marks that came meanwhile are told before others take their place', { timeout: 90_000 }, async (t) => {
  const { host, job, page, wrong, marks, card, marking, stage, picture } = await onPicture(t, 'marks-meanwhile');
  await touch(card, 'button', 'Mark');
  await marking.waitFor();
  const finger = await fingerOn(page, stage);
  await finger.draws([0.2, 0.2], [0.4, 0.3], [0.6, 0.5]);
  const ring = { kind: 'ring', x: 100, y: 100, toX: 300, toY: 300 };
  await host.call('markPicture', { job: job.job, picture, marks: [ring] });
  await calls(page, 'markPicture', () => touch(marking, 'button', 'Keep'));
  await marking.getByText('It was marked anew meanwhile: a ring.').waitFor();
  assert.deepEqual(await marks(), [ring]);
  await calls(page, 'markPicture', () => touch(marking, 'button', 'Keep'));
  await marking.waitFor({ state: 'detached' });
  assert.deepEqual((await marks()).map((mark) => mark.kind), ['arrow']);
  assert.deepEqual(unexpected(wrong, ['markPicture']), []);
});

test('what two people marked apart is shown side by side and settled by a touch', { timeout: 120_000 }, async (t) => {
  const { host, job, page, wrong, marks, card, marking, picture } = await onPicture(t, 'marks-apart');
  const other = await serve(t, 'marks-other');
  await joined(host, other, await folder(t, 'marks-shared'));
  const arrow = { kind: 'arrow', x: 100, y: 100, toX: 500, toY: 500 };
  const ring = { kind: 'ring', x: 100, y: 100, toX: 300, toY: 300 };
  await host.call('markPicture', { job: job.job, picture, marks: [arrow] });
  await other.call('markPicture', { job: job.job, picture, marks: [ring, { kind: 'text', x: 500, y: 900, text: 'here' }] });
  for (const one of [host, other, host]) await exchange(one);
  await page.reload();
  const list = page.getByRole('list', { name: 'Pictures' });
  await list.getByText('marked differently').waitFor();
  await list.getByRole('button').first().tap();
  const dispute = card.getByRole('region', { name: 'Two people say different things' });
  await dispute.getByRole('img', { name: 'Ann: an arrow', exact: true }).waitFor();
  await dispute.getByRole('img', { name: 'Ben: a ring, “here”', exact: true }).waitFor();
  assert.deepEqual(await dispute.locator('svg').evaluateAll((all) => all.map((svg) => [svg.querySelectorAll('path').length > 0, svg.querySelectorAll('ellipse').length > 0])), [[true, false], [false, true]]);
  assert.deepEqual(await broken(page), []);
  await touch(dispute, 'button', 'Take Ben’s');
  await calls(page, 'settle', () => page.getByRole('dialog', { name: 'Take Ben’s' }).locator('.reasons button').first().tap());
  await card.getByText('Marked: a ring, “here”.').waitFor();
  assert.deepEqual((await marks()).map((mark) => mark.kind), ['ring', 'text']);
  assert.equal(await marking.count(), 0);
  assert.deepEqual(unexpected(wrong), []);
});
