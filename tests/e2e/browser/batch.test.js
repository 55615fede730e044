// Pictures chosen together: what is refused, asked about or kept with a doubt is each named, and the rest goes on.
import assert from 'node:assert/strict';
import { join } from 'node:path';
import test from 'node:test';
import { root, serve } from '../lib/host.js';
import { browser, phone } from '../lib/phone.js';
import { named, touch } from '../lib/touch.js';
import { open } from '../steps/screens.js';
import { surveyed } from '../steps/surveyed.js';

const FILES = ['huge-header.jpg', 'orientation-1.jpg', 'huge-header.png', 'zero.jpg', 'nonsense-time.jpg', 'cut.jpg'];

test('of pictures chosen together none is lost without a word', { timeout: 90_000 }, async (t) => {
  const host = await serve(t, 'batch');
  const job = await surveyed(host);
  const { page } = await phone(await browser(t), host);
  await open(page, `#/job/${job.job}/pictures`, 'Pictures');
  const form = page.getByRole('group', { name: 'Add a picture' });
  await named(form, 'combobox', 'What it shows').selectOption({ label: 'Wide view' });
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), form.getByText('From a file', { exact: true }).tap()]);
  await chooser.setFiles(FILES.map((name) => join(root, 'fixtures/photos', name)));
  await form.getByText('2 files were not kept.').waitFor();
  const told = await form.innerText();
  for (const name of ['zero.jpg', 'cut.jpg', 'huge-header.jpg', 'huge-header.png', 'nonsense-time.jpg']) assert.ok(told.includes(name), `${name} in ${told}`);
  const kept = async () => (await host.call('readJob', { job: job.job })).photos.length;
  const before = await kept();
  for (const name of ['huge-header.jpg', 'huge-header.png']) {
    await touch(form, 'button', `Yes, keep it: ${name}`);
    await form.getByRole('button', { name: `Yes, keep it: ${name}` }).waitFor({ state: 'detached' });
  }
  await form.getByText('From a file', { exact: true }).waitFor();
  assert.equal(await kept(), before + 2);
});
