// Pictures of every screen and state, to be looked at: `cargo xtask sights` says where they go.
// Four glasses by day and by night, of an empty book, of a job just surveyed and of the worked job at its end.
import assert from 'node:assert/strict';
import { cp, mkdir, mkdtemp, readdir, rm } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import test from 'node:test';
import { serve, serveAgain } from '../lib/host.js';
import { browser, phone, quiet } from '../lib/phone.js';
import { open, screens, unfold } from '../steps/screens.js';
import { surveyed } from '../steps/surveyed.js';

const { TAUTBOOK_SIGHTS: OUT, TAUTBOOK_WORKED: WORKED } = process.env;
const GLASSES = ['390x844', '320x640', '820x1180', '1440x900'];
const SCHEMES = ['light', 'dark'];

/** Shows each of these screens on each glass; answers how many pictures were kept. */
async function show(t, host, state, list) {
  const chrome = await browser(t);
  let kept = 0;
  for (const glass of GLASSES) {
    const [width, height] = glass.split('x').map(Number);
    const small = width < 900;
    const folder = join(OUT, state, glass);
    await rm(folder, { recursive: true, force: true });
    await mkdir(folder, { recursive: true });
    const { page } = await phone(chrome, host, { viewport: { width, height }, isMobile: small, deviceScaleFactor: small ? 2 : 1, reducedMotion: 'reduce' });
    const keep = async (name) => {
      // A glass shows what lies on it; the rest of a long screen is a picture of its own.
      const longer = await page.evaluate(() => document.documentElement.scrollHeight > innerHeight + 8 && !document.querySelector('[role=dialog]'));
      for (const colorScheme of SCHEMES) {
        await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
        await page.screenshot({ path: join(folder, `${name}-${colorScheme}.png`) });
        if (longer) await page.screenshot({ path: join(folder, `${name}-${colorScheme}-whole.png`), fullPage: true });
      }
    };
    for (const [address, title, name] of list) {
      await open(page, address, title);
      await keep(name);
      if (await unfold(page, address)) await keep(`${name}-unfolded`);
      await locked(page, () => keep(`${name}-locked`));
    }
    await page.context().close();
    const files = await readdir(folder);
    for (const [, , name] of list) for (const scheme of SCHEMES) assert.ok(files.includes(`${name}-${scheme}.png`), `${state}, ${glass}: ${name} by ${scheme}`);
    kept += files.length;
  }
  t.diagnostic(`${state}: ${kept} pictures of ${list.length} screens in ${join(OUT, state)}`);
}

/** The locked glass, where a screen offers it. */
async function locked(page, keep) {
  const lock = page.getByRole('button', { name: 'Lock the glass against water', exact: true });
  if ((await lock.count()) === 0) return;
  await lock.tap();
  await page.getByRole('alertdialog').waitFor();
  await keep();
  await page.keyboard.down('Escape');
  await page.getByRole('button', { name: 'Let go: it opens' }).waitFor();
  await page.keyboard.up('Escape');
  await page.getByRole('alertdialog').waitFor({ state: 'detached' });
  await quiet(page);
}

test('an empty book', { timeout: 120_000 }, async (t) => {
  assert.ok(OUT, 'TAUTBOOK_SIGHTS names the folder of the pictures');
  const host = await serve(t, 'sights-empty');
  await show(t, host, 'empty', [['#/', 'Jobs', 'first-start'], ['#/exchange', 'Exchange', 'exchange'], ['#/device', 'This device', 'device']]);
});

test('a job that was just surveyed', { timeout: 1_200_000 }, async (t) => {
  const host = await serve(t, 'sights-surveyed');
  await show(t, host, 'surveyed', screens(await surveyed(host)));
});

test('the worked job at its end', { timeout: 1_200_000 }, async (t) => {
  assert.ok(WORKED, 'TAUTBOOK_WORKED names the data folder of the worked job');
  const data = await mkdtemp(join(tmpdir(), 'tautbook-sights-worked-'));
  t.after(() => rm(data, { recursive: true, force: true }));
  await cp(WORKED, data, { recursive: true });
  const host = await serveAgain(data);
  t.after(() => host.stop());
  const { jobs: [job] } = await host.call('overview', {});
  await show(t, host, 'worked', screens(await host.call('readJob', { job: job.job })));
});
