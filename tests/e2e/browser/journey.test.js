// probe
import test from 'node:test';
import { folder, serve } from '../lib/host.js';
import { browser, phone } from '../lib/phone.js';
import { go, row} from '../lib/touch.js';
import * as o from '../steps/order.js';
import * as s from '../steps/survey.js';

test('probe', { timeout: 120_000 }, async (t) => {
  const chrome = await browser(t);
  const host = await serve(t, await folder(t, 'ann'));
  const { page, wrong } = await phone(t, chrome, host);
  page.setDefaultTimeout(5000);
  const snap = async (n) => { console.log('====', n); console.log(await page.locator('body').ariaSnapshot()); };
  try {
    await s.firstStart(page, 'Ann', 'Surveyor');
    await s.newJob(page);
    await s.materials(page);
    await s.newRun(page);
    await s.measureForQuote(page);
    await o.quoteRefused(page);
    await s.measureForCutting(page);
    await o.beforeOrdering(page);
    await o.gauge(page);
    await o.tensions(page);
    await o.trialWire(page);
    await snap('run');
  } catch (e) { console.log(e); await snap('fail'); }
  console.log(wrong);
});
