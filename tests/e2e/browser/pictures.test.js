// Pictures on a phone: a camera that ends the app, pictures tied later, taken again, touched twice; documents handed out again.
import assert from 'node:assert/strict';
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import test from 'node:test';
import { copies } from '../lib/copies.js';
import { root, serve, serveAgain } from '../lib/host.js';
import { browser, phone, unexpected } from '../lib/phone.js';
import { at, calls, choose, go, named, starts, touch, write } from '../lib/touch.js';
import { inForm } from '../steps/facts.js';
import { open } from '../steps/screens.js';
import { surveyed } from '../steps/surveyed.js';

const PHOTO = (n) => join(root, `fixtures/photos/orientation-${n}.jpg`);
const CLOSED = 'The app was closed while the camera or the files were open.';
const FORM = { name: 'Add a picture' };

async function onSite(t, name) {
  const host = await serve(t, name);
  const job = await surveyed(host);
  const chrome = await browser(t);
  const { page, wrong } = await phone(chrome, host);
  const read = () => host.call('readJob', { job: job.job });
  return { host, job, run: job.runs[0], chrome, page, wrong, read, in: `#/job/${job.job}` };
}

/** Opens the camera and waits until the device has noted it; nobody answers the chooser. */
async function cameraOpens(page, form) {
  const noted = page.waitForResponse((r) => r.url().endsWith('/api/keep') && /"opened":true/.test(r.request().postDataJSON()?.value ?? ''));
  await Promise.all([page.waitForEvent('filechooser'), form.getByText('Camera', { exact: true }).tap()]);
  assert.equal((await noted).status(), 200);
}

const caption = (form) => named(form, 'textbox', 'Caption').inputValue();

test('a camera that ends the app loses neither caption nor tie, and it says so', { timeout: 120_000 }, async (t) => {
  const { host, job, run, chrome, page, wrong, ...site } = await onSite(t, 'camera');
  const post = run.posts[1];
  const name = `Post ${post.name}`;
  await open(page, `${site.in}/run/${run.id}`, `Run ${run.name}`);
  // The card is opened by hand: the address says nothing of it yet.
  await named(page.getByRole('list', { name: 'Posts and bays' }), 'button', starts(name)).tap();
  let card = page.getByRole('dialog', { name, exact: true });
  await touch(card, 'button', 'Picture');
  let form = card.getByRole('group', FORM);
  await choose(form, 'What it shows', 'Rail joint');
  await write(form, 'Caption', 'Joint over the post');
  await cameraOpens(page, form);
  await page.reload();
  await form.getByText(CLOSED).waitFor();
  assert.equal(await caption(form), 'Joint over the post');
  assert.equal(await named(form, 'combobox', 'What it shows').locator('option:checked').innerText(), 'Rail joint');

  // The whole program ended with it: it opens there again by itself.
  await cameraOpens(page, form);
  await host.stop('SIGKILL');
  const again = await serveAgain(host.data);
  t.after(() => again.stop());
  const { page: after, wrong: wrongAfter } = await phone(chrome, again);
  card = after.getByRole('dialog', { name, exact: true });
  form = card.getByRole('group', FORM);
  await form.getByText(CLOSED).waitFor();
  const [chooser] = await Promise.all([after.waitForEvent('filechooser'), form.getByText('Camera', { exact: true }).tap()]);
  await calls(after, 'addPhoto', () => chooser.setFiles(PHOTO(1)));
  await card.getByRole('img', { name: 'Joint over the post' }).waitFor();
  const now = await again.call('readJob', { job: job.job });
  assert.deepEqual(now.photos.map((p) => [p.caption, p.shows.map((s) => [s.subject, s.evidence])]), [['Joint over the post', [[post.subject, 'railJoint']]]]);
  // What is kept is no longer left.
  await form.waitFor({ state: 'detached' });
  await open(after, site.in, job.title);
  await open(after, `${site.in}/run/${run.id}?at=${encodeURIComponent(post.subject)}`, `Run ${run.name}`);
  await named(card, 'button', 'Picture').waitFor();
  assert.equal(await form.count(), 0);
  // The host was killed under the first page.
  assert.deepEqual(unexpected(wrongAfter), []);
  assert.deepEqual(wrong.filter((line) => !line.includes('ERR_CONNECTION_REFUSED') && !line.includes('ERR_EMPTY_RESPONSE')), []);
});

test('what is missing, and what was just found, open again with their picture; what is cancelled is gone', { timeout: 120_000 }, async (t) => {
  const { page, wrong, read, ...site } = await onSite(t, 'returned');
  await open(page, `${site.in}/missing`, 'What is missing');
  const asks = page.getByRole('button', { name: /^Picture: / }).first();
  const item = (await asks.getAttribute('aria-label')).replace('Picture: ', '');
  await asks.tap();
  const sheet = page.getByRole('dialog', { name: item, exact: true });
  await write(sheet, 'Caption', 'Half a caption');
  await cameraOpens(page, sheet);
  await page.reload();
  await sheet.getByText(CLOSED).waitFor();
  assert.equal(await caption(sheet), 'Half a caption');
  await touch(sheet, 'button', 'Cancel');
  await sheet.waitFor({ state: 'detached' });
  await page.reload();
  await asks.waitFor();
  assert.equal(await sheet.count(), 0, 'what was cancelled is gone');

  await open(page, `${site.in}/defects`, 'Defects');
  const region = page.getByRole('region', { name: 'Defects' });
  await touch(region, 'button', 'Something to put right');
  await write(region, 'What is wrong at the job?', 'Rail loose');
  await calls(page, 'addThing', () => touch(region, 'button', 'Keep'));
  await region.getByText('Noted: Rail loose.').waitFor();
  await cameraOpens(page, region);
  await page.reload();
  await region.getByText(CLOSED).waitFor();
  await inForm(page, region, 'Camera', '', 'Rail as found', PHOTO(1));
  await named(region, 'button', 'Something to put right').waitFor();
  const { photos, defects } = await read();
  assert.deepEqual(photos.map((p) => p.shows.map((s) => [s.subject, s.evidence])), [[[defects[0].subject, 'defectBefore']]]);
  assert.deepEqual(unexpected(wrong), []);
});

test('pictures are taken first and tied later, several at once; one is taken again beside the old one', { timeout: 120_000 }, async (t) => {
  const { host, job, run, page, wrong, read, ...site } = await onSite(t, 'tray');
  await open(page, `${site.in}/pictures`, 'Pictures');
  await touch(page, 'button', 'Tie later');
  const form = page.locator('main').getByRole('group', FORM);
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), form.getByText('From a file', { exact: true }).tap()]);
  await chooser.setFiles([PHOTO(1), PHOTO(3), PHOTO(6)]);
  await named(page, 'button', 'Untied 3').waitFor();
  assert.deepEqual((await read()).photos.map((p) => p.shows), [[], [], []]);
  await go(page, 'link', 'Back', job.title);
  await page.getByRole('link', { name: /^Pictures .*3 not tied yet/ }).tap();
  await at(page, 'Pictures');

  await touch(page, 'button', 'Untied 3');
  await touch(page, 'button', 'Pick all 3');
  await page.getByRole('list', { name: 'Pictures' }).getByRole('checkbox').first().tap();
  await touch(page, 'button', starts('Tie 2 pictures'));
  const card = page.getByRole('dialog', { name: 'Tie 2 pictures' });
  const post = run.posts[2];
  await choose(card, 'Tie it to', `Post ${post.name}`);
  await choose(card, 'What it shows', 'Post fixing');
  await touch(card, 'button', 'Tie 2 pictures');
  await named(page, 'button', 'Untied 1').waitFor();
  const tied = (await read()).photos.filter((p) => p.shows.length > 0);
  assert.deepEqual(tied.map((p) => p.shows.map((s) => [s.subject, s.evidence])), Array(2).fill([[post.subject, 'postFixing']]));
  // One touch takes both ties back.
  await touch(page, 'button', 'Undo');
  await named(page, 'button', 'Untied 3').waitFor();

  await host.call('tiePicture', { job: job.job, picture: tied[0].subject, shows: { subject: post.subject, evidence: 'postFixing' }, tied: true, confirmed: false });
  await open(page, `${site.in}/run/${run.id}?at=${encodeURIComponent(post.subject)}`, `Run ${run.name}`);
  await page.reload();
  const strip = page.getByRole('dialog', { name: `Post ${post.name}` }).getByRole('region', { name: starts('Pictures') });
  await strip.getByRole('listitem').getByRole('button').tap();
  const old = page.getByRole('dialog', { name: tied[0].caption, exact: true });
  await touch(old, 'button', 'Take again');
  await cameraOpens(page, old);
  await page.reload();
  await old.getByText(CLOSED).waitFor();
  // The old one stands above while the new one is taken.
  await old.getByRole('img', { name: tied[0].caption }).first().waitFor();
  await inForm(page, old, 'Camera', '', 'Fixing, sharper', PHOTO(3));
  await named(old, 'button', 'Take again').waitFor();
  const fresh = (await read()).photos.find((p) => p.caption === 'Fixing, sharper');
  assert.deepEqual(fresh.shows.map((s) => [s.subject, s.evidence]), [[post.subject, 'postFixing']]);
  assert.deepEqual(unexpected(wrong), []);
});

test('a picture and a reason that come twice in one turn count once', { timeout: 90_000 }, async (t) => {
  const { page, wrong, read, ...site } = await onSite(t, 'twice');
  await open(page, `${site.in}/pictures`, 'Pictures');
  const form = page.getByRole('group', FORM);
  const bytes = (await readFile(PHOTO(1))).toString('base64');
  await form.locator('input[type=file]').first().evaluate((input, base64) => {
    const bytes = Uint8Array.from(atob(base64), (c) => c.charCodeAt(0));
    for (let twice = 0; twice < 2; twice += 1) {
      const list = new DataTransfer();
      list.items.add(new File([bytes], 'a.jpg', { type: 'image/jpeg' }));
      input.files = list.files;
      input.dispatchEvent(new Event('change', { bubbles: true }));
    }
  }, bytes);
  await page.getByRole('list', { name: 'Pictures' }).getByRole('listitem').first().waitFor();
  await form.getByText('Camera', { exact: true }).waitFor();
  assert.equal((await read()).photos.length, 1);

  await page.getByRole('list', { name: 'Pictures' }).getByRole('button').first().tap();
  const removals = [];
  page.on('request', (r) => r.url().endsWith('/api/removeThing') && removals.push(r));
  await touch(page.getByRole('dialog').first(), 'button', 'Added by mistake');
  const reason = page.getByRole('dialog').last().locator('.reasons button').first();
  await reason.evaluate((button) => [1, 2].forEach(() => button.click()));
  await page.getByRole('list', { name: 'Pictures' }).getByRole('listitem').first().waitFor({ state: 'detached' });
  assert.equal(removals.length, 1);
  assert.deepEqual(unexpected(wrong), []);
});

test('500 pictures at once are counted as they come in, those that are none are named, and only those near the glass are read', { timeout: 300_000 }, async (t) => {
  const { page, wrong, read, ...site } = await onSite(t, 'many');
  await open(page, `${site.in}/pictures`, 'Pictures');
  await touch(page, 'button', 'Tie later');
  const form = page.locator('main').getByRole('group', FORM);
  const pick = async (files) => {
    const [chooser] = await Promise.all([page.waitForEvent('filechooser'), form.getByText('From a file', { exact: true }).tap()]);
    await chooser.setFiles(files);
  };
  const all = (await copies(540)).map((buffer, n) => ({ name: `site-${n + 1}.jpg`, mimeType: 'image/jpeg', buffer }));
  const files = all.slice(0, 500);
  files[9] = { name: 'empty.jpg', mimeType: 'image/jpeg', buffer: Buffer.alloc(0) };
  files[499] = { name: 'list.jpg', mimeType: 'image/jpeg', buffer: Buffer.from('wires of run A') };
  let shown = 0;
  page.on('request', (r) => (shown += Number(/\/photo\/[0-9a-f]{64}\?size=thumb$/.test(r.url()))));
  const started = Date.now();
  await pick(files);
  await form.getByText(/\d+ \/ 500/).waitFor();
  await form.getByText('Camera', { exact: true }).waitFor({ timeout: 240_000 });
  t.diagnostic(`500 files of 2 kB in ${((Date.now() - started) / 1000).toFixed(0)} s`);
  await form.getByText('2 files were not kept.').waitFor();
  await form.getByText(/^empty\.jpg/).waitFor();
  await form.getByText(/^list\.jpg/).waitFor();
  await named(page, 'button', 'Untied 498').waitFor();
  const photos = (await read()).photos;
  assert.equal(new Set(photos.map((p) => p.subject)).size, 498);
  const gallery = page.getByRole('list', { name: 'Pictures' });
  assert.equal(await gallery.getByRole('listitem').count(), 498);
  // Which of them lie near the glass is the browser's to say: far from all, and the last one once it is scrolled to.
  assert.ok(shown < 100, `${shown} pictures were read`);
  await gallery.getByRole('listitem').last().scrollIntoViewIfNeeded();
  await gallery.getByRole('listitem').last().locator('img').waitFor();

  // Stopped on the way: the one that is on its way comes in, the others are left out, and it says how many.
  await pick(all.slice(500));
  await form.getByText(/[23] \/ 40/).waitFor();
  await touch(form, 'button', 'Cancel');
  const left = form.getByText(/^Stopped: \d+ files were not taken in\./);
  await left.waitFor();
  const [, n] = /Stopped: (\d+)/.exec(await left.innerText());
  assert.equal((await read()).photos.length, 498 + 40 - Number(n));
  assert.ok(Number(n) > 0);
  // The two that were refused, and nothing else.
  const refused = (line) => line.includes('400 (Bad Request) [/api/addPhoto]');
  assert.equal(wrong.filter(refused).length, 2);
  assert.deepEqual(unexpected(wrong.filter((line) => !refused(line))), []);
});

test('a document is handed out as it was taken in, and never as a page', { timeout: 90_000 }, async (t) => {
  const { host, page, wrong, read, ...site } = await onSite(t, 'documents');
  const bytes = Buffer.from('<script>globalThis.ran = 1</script>');
  await open(page, `${site.in}/documents`, 'Documents');
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), page.getByText('From a file', { exact: true }).tap()]);
  await calls(page, 'addDocument', () => chooser.setFiles({ name: 'choice.html', mimeType: 'text/html', buffer: bytes }));
  await page.getByRole('list', { name: 'Documents' }).getByRole('button').tap();
  const card = page.getByRole('dialog', { name: 'choice.html' });
  const pages = page.context().pages().length;
  const [download] = await Promise.all([page.waitForEvent('download'), touch(card, 'button', 'Save the file')]);
  assert.equal(download.suggestedFilename(), 'choice.html');
  assert.deepEqual(await readFile(await download.path()), bytes);
  await card.getByText('Saved as it was taken in; its hash was compared.').waitFor();
  assert.deepEqual([await page.evaluate(() => globalThis.ran), page.context().pages().length], [undefined, pages]);

  const [{ files: [{ sha256 }] }] = (await read()).documents;
  await writeFile(join(host.data, 'photos', sha256.slice(0, 2), `${sha256}.html`), 'something else');
  await touch(card, 'button', 'Save the file');
  await page.getByText(/changed or damaged, so it is not handed out/).waitFor();
  assert.equal(await card.getByText('Saved as it was taken in').count(), 0);
  assert.deepEqual(wrong.filter((line) => !line.includes('/photo/')), []);
});
