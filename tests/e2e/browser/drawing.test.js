// The drawing under a hand: two fingers, one finger that is held, and keys.
import assert from 'node:assert/strict';
import test from 'node:test';
import { serve } from '../lib/host.js';
import { browser, phone, unexpected } from '../lib/phone.js';
import { open } from '../steps/screens.js';
import { surveyed } from '../steps/surveyed.js';

test('two fingers draw it closer about their middle, one held picks by the lens, keys lead to each thing', { timeout: 90_000 }, async (t) => {
  const host = await serve(t, 'drawing');
  const job = await surveyed(host);
  const { page, wrong } = await phone(await browser(t), host);
  await open(page, `#/job/${job.job}/run/${job.runs[0].id}`, 'Run A');
  const drawing = page.getByRole('group', { name: /^Run A, seen from/ });
  const glass = await page.context().newCDPSession(page);
  const touches = (type, ...points) => glass.send('Input.dispatchTouchEvent', { type, touchPoints: points.map(([x, y], id) => ({ x, y, id })) });
  const post = drawing.getByRole('button', { name: /^Post A4\b/ }).first();
  const place = async () => {
    const box = await post.boundingBox();
    return [box.x + box.width / 2, box.y + box.height / 2];
  };

  await t.test('a pinch', async () => {
    const wide = (await drawing.boundingBox()).width;
    const [x, y] = await place();
    await touches('touchStart', [x - 30, y + 60], [x + 30, y + 60]);
    for (const apart of [40, 50, 60, 75]) await touches('touchMove', [x - apart, y + 60], [x + apart, y + 60]);
    await touches('touchEnd');
    await page.waitForFunction((before) => document.querySelector('figure svg').getBoundingClientRect().width > before * 2, wide);
    const [now] = await place();
    assert.ok(Math.abs(now - x) < 12, `the post between the fingers is at ${now}, and was at ${x}`);
    assert.equal(await page.getByRole('dialog').count(), 0, 'two fingers open nothing');
    const closer = (await drawing.boundingBox()).width;
    assert.ok(closer < wide * 2.7, `${closer} is 2.5 times ${wide} and what stands beside it`);
    // Back again by the buttons: several touches are placed once.
    for (let n = 0; n < 3; n += 1) await page.getByRole('button', { name: 'Wider' }).tap();
    await page.waitForFunction((before) => Math.abs(document.querySelector('figure svg').getBoundingClientRect().width - before) < 2, wide);
  });

  await t.test('one finger that is held', async () => {
    await page.evaluate(() => window.scrollTo(0, 0));
    const box = await drawing.boundingBox();
    const at = [box.x + box.width * 0.3, box.y + box.height * 0.5];
    await touches('touchStart', at);
    const lens = page.locator('.lens');
    await lens.waitFor();
    const first = await lens.innerText();
    assert.match(first, /^Wire \d+/);
    await touches('touchMove', [at[0], at[1] + 26]);
    await page.waitForFunction((before) => document.querySelector('.lens p').textContent !== before, first.trim());
    const named = (await lens.innerText()).trim();
    const lensAt = await lens.boundingBox();
    assert.ok(lensAt.x >= 0 && lensAt.y >= 0 && lensAt.x + lensAt.width <= 390 && lensAt.y + lensAt.height <= 844, JSON.stringify(lensAt));
    await touches('touchEnd');
    await page.getByRole('dialog', { name: named.split(',')[0], exact: true }).waitFor();
    assert.equal(await lens.count(), 0);
    await page.keyboard.press('Escape');
    await page.getByRole('dialog').waitFor({ state: 'detached' });
  });

  await t.test('keys', async () => {
    await drawing.locator('[data-thing][tabindex="0"]').focus();
    await page.keyboard.press('ArrowRight');
    await page.keyboard.press('ArrowDown');
    const name = await page.evaluate(() => document.activeElement.getAttribute('aria-label'));
    await page.keyboard.press('Enter');
    await page.getByRole('dialog', { name: name.split(',')[0], exact: true }).waitFor();
    await page.keyboard.press('Escape');
    await page.getByRole('dialog').waitFor({ state: 'detached' });
  });
  assert.deepEqual(unexpected(wrong), []);
});
