// Storage that fills up while somebody measures: nothing is said to be saved, nothing that was typed is lost, and it goes on once
// there is room.
import assert from 'node:assert/strict';
import test from 'node:test';
import { join } from 'node:path';
import { smallDisk } from '../lib/disk.js';
import { serveAgain } from '../lib/host.js';
import { browser, phone, unexpected } from '../lib/phone.js';
import { calls, pad, touch } from '../lib/touch.js';
import { stands } from '../steps/ready.js';
import { open } from '../steps/screens.js';
import { FOR_CUTTING, sayFirst } from '../steps/survey.js';
import { surveyed } from '../steps/surveyed.js';

test('storage that is full while the pad is open loses nothing, says so, and saves once there is room', { timeout: 90_000 }, async (t) => {
  const disk = await smallDisk(t, 24);
  const host = await serveAgain(join(disk.path, 'book'));
  t.after(() => host.stop());
  const job = await surveyed(host);
  const [run] = job.runs;
  const { page, wrong } = await phone(await browser(t), host);
  await open(page, `#/job/${job.job}/run/${run.id}/measure?wire=6`, 'Measure');
  await sayFirst(page, [...FOR_CUTTING, ['With', 'Tape']]);
  const lengths = async () => (await stands(host, job.job, `wire:${run.id}:6`, 'length')).map((word) => word.value.nm / 1e6);
  const before = await lengths();
  assert.ok(!before.includes(7298));

  await pad(page, '2', '9');
  disk.fill();
  const refused = await calls(page, 'measure', () => pad(page, '8', /^Keep/));
  assert.equal(refused.ok(), false);
  const { message } = await refused.json();
  assert.match(message, /space|room|full/i);
  await page.getByText(message).first().waitFor();
  const value = page.getByRole('status', { name: 'Value' });
  assert.match((await value.innerText()).replaceAll(/\s/g, ''), /7298/, 'what was typed stands');
  assert.deepEqual(await lengths(), before);

  disk.free();
  const kept = await calls(page, 'measure', () => touch(page.getByRole('group', { name: 'Number pad' }), 'button', /^Keep/));
  assert.equal(kept.ok(), true);
  assert.equal(kept.request().postDataJSON().length.text, '7298');
  assert.ok((await lengths()).includes(7298));
  // What a screen would remember of itself has no room either.
  const left = unexpected(wrong, ['measure']).filter((line) => !line.includes('[/api/keep]'));
  assert.deepEqual(left, []);
});
