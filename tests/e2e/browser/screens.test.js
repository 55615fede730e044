// Every screen by day and by night, and what a reload or a killed program may not lose.
// The job comes from the worked job's survey file, imported through the list of commands: the
// journey shows that it can be made by hand.
import assert from 'node:assert/strict';
import { mkdtemp } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import test from 'node:test';
import { serve, serveAgain } from '../lib/host.js';
import { browser, phone, unexpected } from '../lib/phone.js';
import { at, named, starts } from '../lib/touch.js';
import { open, screens } from '../steps/screens.js';
import { FOR_CUTTING, length, sayFirst } from '../steps/survey.js';
import { surveyed } from '../steps/surveyed.js';

test('every screen by day and by night, without an error or a violation of the content policy', { timeout: 150_000 }, async (t) => {
  const host = await serve(t, 'screens');
  const job = await surveyed(host);
  assert.deepEqual(job.runs.map((r) => r.name), ['A', 'B']);
  const sights = process.env.TAUTBOOK_SIGHTS ?? (await mkdtemp(join(tmpdir(), 'tautbook-sights-')));
  const { page, wrong } = await phone(await browser(t), host);
  for (const [address, title, name] of screens(job)) {
    await open(page, address, title);
    for (const colorScheme of ['light', 'dark']) {
      await page.emulateMedia({ colorScheme });
      const ground = await brightness(page);
      assert.ok(colorScheme === 'light' ? ground > 0.7 : ground < 0.3, `${address}: the ground is ${ground} of white, ${colorScheme}`);
      await page.screenshot({ path: join(sights, `${name}-${colorScheme}.png`) });
    }
    await fits(page, address);
    for (const role of ['button', 'link', 'textbox', 'combobox']) {
      assert.equal(await page.getByRole(role, { name: /^\s*$/ }).count(), 0, `${address}: every ${role} has a name`);
    }
  }
  assert.deepEqual(unexpected(wrong), []);
  t.diagnostic(`${screens(job).length} screens, their sights in ${sights}`);

  // An address that leads nowhere says so; the router tells the console of it.
  await open(page, '#/nowhere', 'No such screen');
  await page.getByRole('link', { name: 'To the jobs' }).tap();
  await at(page, 'Jobs');
  assert.equal(wrong.length, 1, wrong.join('\n'));
  assert.match(wrong.splice(0).join(), /Not found/);

  // The watch itself sees a violation: this one is made.
  await page.evaluate(() => document.body.setAttribute('style', 'color: red'));
  await page.evaluate(() => new Promise(requestAnimationFrame));
  assert.match(unexpected(wrong).join('\n'), /Content Security Policy/);
});

/** How bright the page's ground is, as a share of white. */
function brightness(page) {
  return page.evaluate(() => {
    const parts = getComputedStyle(document.body).backgroundColor.match(/[\d.]+/g).slice(0, 3).map(Number);
    return parts.reduce((sum, c) => sum + c, 0) / (3 * 255);
  });
}

/** Nothing is wider than the glass, on a phone and on a narrow one; what is drawn follows within a frame or two. */
async function fits(page, address) {
  for (const width of [320, 390]) {
    await page.setViewportSize({ width, height: 844 });
    await page.waitForFunction((most) => document.documentElement.scrollWidth <= most, width, { timeout: 2000 }).catch(async () => {
      const wide = await page.evaluate(() => document.documentElement.scrollWidth);
      assert.fail(`${address} is ${wide} wide on ${width}`);
    });
  }
}

test('a reload and a killed program lose nothing that was kept', { timeout: 60_000 }, async (t) => {
  const host = await serve(t, 'reload');
  const job = await surveyed(host);
  const run = job.runs[0];
  const chrome = await browser(t);
  const { page } = await phone(chrome, host);
  const measuring = `#/job/${job.job}/run/${run.id}/measure`;
  await open(page, measuring, 'Measure');
  const list = (on) => on.getByRole('list', { name: 'To measure' });
  await named(list(page), 'button', starts('Wire 1, bottom')).tap();
  await sayFirst(page, [...FOR_CUTTING, ['With', 'Tape']]);
  await length(page, 'Wire 1, bottom', '7295');
  await page.reload();
  await named(list(page), 'button', 'Wire 1, bottom 7295 mm').waitFor();

  await named(list(page), 'button', starts('Wire 12, top')).tap();
  await length(page, 'Wire 12, top', '7306');
  await host.stop('SIGKILL');
  await named(list(page), 'button', starts('Wire 1, bottom')).tap();
  for (const digit of '7296') await named(page, 'button', digit).tap();
  await named(page, 'button', /^Keep/).tap();
  await page.getByRole('alert').filter({ hasText: 'does not answer' }).first().waitFor();

  const again = await serveAgain(host.data);
  t.after(() => again.stop());
  const { page: after } = await phone(chrome, again);
  // It opens where it was left.
  await at(after, 'Measure');
  await open(after, measuring, 'Measure');
  await named(list(after), 'button', 'Wire 12, top 7306 mm').waitFor();
  await named(list(after), 'button', 'Wire 1, bottom 7295 mm').waitFor();
});
