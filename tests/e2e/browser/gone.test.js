// A length that two people corrected apart, on a wire that the layout no longer has: told, and settled where it is told.
import assert from 'node:assert/strict';
import test from 'node:test';
import { folder, serve } from '../lib/host.js';
import { browser, phone, unexpected } from '../lib/phone.js';
import { go, touch } from '../lib/touch.js';
import { why } from '../steps/crew.js';
import { exchange, joined } from '../steps/met.js';
import { open } from '../steps/screens.js';
import { surveyed } from '../steps/surveyed.js';

test('a dispute on a wire that is gone is settled on its screen', { timeout: 90_000 }, async (t) => {
  const ann = await serve(t, 'ann');
  const { job, runs } = await surveyed(ann);
  const run = runs.find((r) => r.name === 'A');
  const ben = await serve(t, 'ben');
  const read = (text, over = []) => ({ job, run: run.id, wire: 12, length: { text, unit: 'mm' }, purpose: 'cut', posts: 'railOn', faces: 'insertFaces', instrument: 'tape', over, confirmed: true });
  const { entries } = await ann.call('measure', read('7305'));
  await joined(ann, ben, await folder(t, 'shared'));
  const say = (host, subject, field, value) => host.call('say', { job, claims: [{ subject, field, value }], confirmed: true });
  for (const [host, text] of [[ann, '7301'], [ben, '7303']]) await host.call('measure', read(text, entries));
  await say(ann, run.subject, 'wireCount', 11);
  for (const host of [ann, ben, ann]) await exchange(host);

  const { page, wrong } = await phone(await browser(t), ann);
  await open(page, `#/job/${job}`, 'Deck and stair, 14 Quillback Rise');
  await go(page, 'link', /A12/, 'No longer in the layout');
  const told = page.getByRole('region', { name: 'Two people say different things' });
  for (const word of ['7301 mm', '7303 mm']) await told.getByText(word, { exact: true }).waitFor();
  await touch(told, 'button', 'Take Ben’s');
  await why(page, 'Ben');
  await told.waitFor({ state: 'detached' });
  const { unsettled } = await ann.call('readJob', { job });
  assert.deepEqual(unsettled, []);
  assert.deepEqual(unexpected(wrong), []);
});
