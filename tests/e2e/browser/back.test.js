// Back, forward, a page read again and a phone turned: a card closes before its screen is left, and nothing typed is lost.
import assert from 'node:assert/strict';
import test from 'node:test';
import { serve } from '../lib/host.js';
import { browser, phone, quiet, unexpected } from '../lib/phone.js';
import { at, calls, go, named, pad, row, starts, touch, write } from '../lib/touch.js';
import { open } from '../steps/screens.js';
import { FOR_CUTTING, sayFirst } from '../steps/survey.js';
import { surveyed } from '../steps/surveyed.js';

async function stand(t, name) {
  const host = await serve(t, name);
  const job = await surveyed(host);
  const { page, wrong } = await phone(await browser(t), host);
  return { host, job, run: job.runs[0], page, wrong };
}
// What the system's own buttons do.
const back = (page) => page.evaluate(() => history.back());
const forward = (page) => page.evaluate(() => history.forward());
const cards = (page) => page.getByRole('dialog').count();
const gone = (card) => card.waitFor({ state: 'detached' });

test('back closes the uppermost card, then leaves the screen', { timeout: 90_000 }, async (t) => {
  const { job, run, page, wrong } = await stand(t, 'back');
  const title = `Run ${run.name}`;
  await open(page, `#/job/${job.job}`, job.title);
  await go(page, 'link', title, title);
  const address = page.url();
  const [post] = run.posts;
  const card = page.getByRole('dialog', { name: `Post ${post.name}`, exact: true });
  const inner = page.getByRole('dialog', { name: 'Section', exact: true });
  const posts = () => row(page, `Post ${post.name}`);
  await posts();
  await row(card, 'Section');
  await write(inner, 'Along the run', '118');

  await back(page);
  await gone(inner);
  assert.equal(await cards(page), 1, 'the card below stays');
  await back(page);
  await gone(card);
  assert.equal(page.url(), address);
  await at(page, title);
  // Forward opens nothing by itself.
  await forward(page);
  await forward(page);
  await quiet(page);
  assert.equal(await cards(page), 0);
  await at(page, title);

  // What was half typed is offered where it was typed.
  await posts();
  await row(card, 'Section');
  await inner.getByText('118 …').waitFor();
  await touch(inner, 'button', 'Go on');
  assert.equal(await named(inner, 'textbox', starts('Along the run')).inputValue(), '118');
  await touch(inner, 'button', 'Cancel');
  await gone(inner);
  // A card that was closed by its own button is not in the way.
  await touch(card, 'button', 'Close');
  await gone(card);
  await back(page);
  await at(page, job.title);
  await forward(page);
  await at(page, title);
  assert.equal(await cards(page), 0);

  // From a card to another screen and back, with one step each.
  await row(page, 'Wire 6');
  const wire = page.getByRole('dialog', { name: 'Wire 6', exact: true });
  await wire.getByRole('link').first().tap();
  await gone(wire);
  const there = await page.getByRole('heading', { level: 1 }).innerText();
  assert.notEqual(there, title);
  await back(page);
  await at(page, title);
  await forward(page);
  await at(page, there);
  await back(page);
  await at(page, title);
  await back(page);
  await at(page, job.title);
  assert.deepEqual(unexpected(wrong), []);
});

test('behind a locked glass the way back leads nowhere; once it is open it leads back in one step', { timeout: 90_000 }, async (t) => {
  const { job, run, page, wrong } = await stand(t, 'locked');
  const title = `Run ${run.name}`;
  await open(page, `#/job/${job.job}`, job.title);
  await go(page, 'link', title, title);
  await row(page, 'Ticks', 'Ticks');
  const address = page.url();
  const lock = page.getByRole('alertdialog', { name: 'The glass is locked', exact: true });
  for (const times of [1, 2]) {
    await touch(page, 'button', 'Lock the glass against water');
    await lock.waitFor();
    // By one step, again, and by more than one at once.
    for (const steps of [-1, -1, -2, -1]) {
      await page.evaluate((n) => history.go(n), steps);
      await quiet(page);
      assert.equal(page.url(), address, `${steps}`);
      assert.ok(await lock.isVisible(), `it stays locked, ${times}`);
    }
    await page.keyboard.down('Enter');
    await named(lock, 'button', 'Let go: it opens').waitFor();
    await page.keyboard.up('Enter');
    await lock.waitFor({ state: 'detached' });
  }
  await back(page);
  await at(page, title);
  await back(page);
  await at(page, job.title);
  assert.deepEqual(unexpected(wrong), []);
});

test('a card that the address names closes by back as well, also after the page was read again', { timeout: 60_000 }, async (t) => {
  const { job, run, page, wrong } = await stand(t, 'back-reload');
  const [post] = run.posts;
  const card = page.getByRole('dialog', { name: `Post ${post.name}`, exact: true });
  await open(page, `#/job/${job.job}`, job.title);
  // A fact that the next act asks for opens by itself; its address is said anew once it is closed.
  const asked = `#/job/${job.job}/run/${run.id}?tell=surface`;
  await page.evaluate((hash) => document.querySelector('main').insertAdjacentHTML('beforeend', `<a id="asked" href="${hash}">asked</a>`), asked);
  await page.locator('#asked').tap();
  const fact = page.getByRole('dialog');
  await fact.waitFor();
  await back(page);
  await gone(fact);
  await at(page, `Run ${run.name}`);
  await page.waitForFunction(() => !location.hash.includes('tell'));
  await back(page);
  await at(page, job.title);

  await open(page, `#/job/${job.job}/run/${run.id}?at=${encodeURIComponent(post.subject)}`, `Run ${run.name}`);
  await card.waitFor();
  await page.reload();
  await card.waitFor();
  await back(page);
  await gone(card);
  await at(page, `Run ${run.name}`);
  await row(page, `Post ${post.name}`);
  await card.waitFor();
  await back(page);
  await gone(card);
  await back(page);
  await at(page, job.title);
  assert.deepEqual(unexpected(wrong), []);
});

test('a phone that is turned keeps what is half typed on the pad and in a card', { timeout: 60_000 }, async (t) => {
  const { job, run, page, wrong } = await stand(t, 'turned');
  const turn = async () => {
    const { width, height } = page.viewportSize();
    await page.setViewportSize({ width: height, height: width });
    await quiet(page);
  };
  await open(page, `#/job/${job.job}/run/${run.id}/measure?wire=6`, 'Measure');
  await sayFirst(page, [...FOR_CUTTING, ['With', 'Tape']]);
  const value = page.getByRole('status', { name: 'Value' });
  await touch(page, 'button', '2');
  await touch(page, 'button', '9');
  const half = await value.innerText();
  assert.match(half, /29/);
  await turn();
  assert.equal(await value.innerText(), half);
  await touch(page, 'button', '8');
  await turn();
  const answered = await calls(page, 'measure', () => pad(page, '', /^Keep/));
  assert.equal(answered.request().postDataJSON().length.text, '7298');

  await open(page, `#/job/${job.job}/site`, 'Site');
  await row(page, 'Access');
  const card = page.getByRole('dialog', { name: 'Access' });
  await write(card, 'Access', 'Gate code');
  await turn();
  assert.equal(await named(card, 'textbox', 'Access').inputValue(), 'Gate code');
  await turn();
  assert.equal(await named(card, 'textbox', 'Access').inputValue(), 'Gate code');
  assert.deepEqual(unexpected(wrong), []);
});
