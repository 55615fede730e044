// The cut plan by touch: one wire, then the batch, on a narrow phone and a wide desk, by day and by night.
import assert from 'node:assert/strict';
import test from 'node:test';
import { serve } from '../lib/host.js';
import { browser, keepSights, phone, unexpected } from '../lib/phone.js';
import { at, calls, named } from '../lib/touch.js';
import { surveyed } from '../steps/surveyed.js';

/** Run A released at its decided tension, and two reels of 60 m. */
async function released(host) {
  const { job, runs } = await surveyed(host);
  const run = runs[0].id;
  const tensions = { requiredMn: 1_330_000, setMn: 1_500_000, upperMn: 1_800_000, requiredOrigin: '', upperOrigin: '', passesMn: [1_500_000] };
  await host.call('setTensions', { job, run, tensions, confirmed: true });
  await host.call('issueCuts', { job, run, wires: '1-12', beforeTrial: 'one visit' });
  for (const name of ['R-1', 'R-2']) {
    const fields = [{ field: 'name', value: name }, { field: 'kind', value: 'strand' }, { field: 'metres', value: { nm: 60e9 } }];
    await host.call('addThing', { job, thing: 'batch', fields });
  }
  return job;
}

test('a plan is ticked off by touch and planned again', { timeout: 120_000 }, async (t) => {
  const host = await serve(t, 'plan');
  const job = await released(host);
  const { page, wrong } = await phone(await browser(t), host, { isMobile: false });
  const plan = () => host.call('cutPlan', { job });
  const left = async () => (await plan()).strands[0].groups.flatMap((g) => g.cuts).length;
  await page.evaluate((hash) => void (location.hash = hash), `#/job/${job}/plan`);
  await at(page, 'Cut plan');
  assert.equal(await left(), 12);

  // The trial wire stands first; one touch ticks it off.
  await named(page, 'heading', /^Trial wires first, from R-[12]$/).waitFor();
  await calls(page, 'cutBatch', () => named(page, 'button', /A6.*7235/).first().tap());
  await named(page, 'heading', /^Trial wires first/).waitFor({ state: 'detached' });
  assert.equal(await left(), 11);

  for (const [width, height, colorScheme] of [[320, 700, 'light'], [390, 844, 'dark'], [1440, 900, 'light']]) {
    await page.setViewportSize({ width, height });
    await page.emulateMedia({ colorScheme });
    const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth);
    assert.ok(over <= 0, `${over} px too wide at ${width}`);
    const small = await page.evaluate(() => [...document.querySelectorAll('button, a[href], summary')].filter((e) => e.checkVisibility() && e.getBoundingClientRect().height < 47.5 && !e.matches('p a, .says a')).map((e) => e.textContent.trim()));
    assert.deepEqual(small, [], `too small for a thumb at ${width}`);
    await keepSights(`plan-${width}-${colorScheme}`, [page]);
  }

  // The rest, batch by batch, until nothing is left to cut.
  for (let rest = 11; rest > 0; rest = await left()) {
    const answered = await calls(page, 'cutBatch', () => named(page, 'button', /^(All \d+ cut|Cut), from R-[12]$/).first().tap());
    assert.equal(answered.status(), 200, await answered.text());
    assert.ok((await left()) < rest);
    await page.waitForLoadState('networkidle');
  }
  await page.getByText('Nothing is released and uncut.', { exact: false }).waitFor();
  const total = (await plan()).stock.reduce((sum, s) => sum + s.leftMm, 0);
  assert.equal(Math.round(total), 120_000 - 86_815);
  assert.deepEqual(unexpected(wrong), []);
});
