// What the screens keep on a device outlives a killed program and another address: how a run is read, what was skipped, what was half typed.
import assert from 'node:assert/strict';
import test from 'node:test';
import { serve, serveAgain } from '../lib/host.js';
import { browser, phone } from '../lib/phone.js';
import { at, calls, choose, go, named, pad, row, starts, touch, write } from '../lib/touch.js';
import { open } from '../steps/screens.js';
import { FOR_CUTTING, sayFirst } from '../steps/survey.js';
import { surveyed } from '../steps/surveyed.js';

/** Waits until the program has kept something under a name that begins so. */
async function kept(page, name, act) {
  const written = page.waitForResponse((r) => r.url().endsWith('/api/keep') && (r.request().postDataJSON()?.name ?? '').startsWith(`ui:${name}`));
  await act();
  assert.equal((await written).status(), 200);
}

test('how a run is read, what was skipped and what was half typed are there after a killed program', { timeout: 90_000 }, async (t) => {
  const host = await serve(t, 'kept');
  const job = await surveyed(host);
  const [run] = job.runs;
  const chrome = await browser(t);
  const { page } = await phone(chrome, host);
  const skipped = async (on) => (await open(on, `#/job/${job.job}`, job.title), on.locator('.act').innerText());

  const first = await skipped(page);
  await kept(page, 'skipped-', () => touch(page, 'button', 'Skip this for now'));
  await page.waitForFunction((words) => document.querySelector('.act')?.innerText !== words, first);
  const next = await page.locator('.act').innerText();
  assert.notEqual(next, first);

  const measuring = `#/job/${job.job}/run/${run.id}/measure?wire=6`;
  await open(page, measuring, 'Measure');
  await sayFirst(page, FOR_CUTTING);
  await kept(page, 'conditions-', () => touch(page.getByRole('group', { name: 'With', exact: true }), 'button', 'Tape'));
  await kept(page, 'draft-length-', async () => {
    // The thousands are those of the wires beside it.
    for (const digit of '29') await touch(page, 'button', digit);
  });
  const site = `#/job/${job.job}/site`;
  await open(page, site, 'Site');
  await row(page, 'Access');
  await kept(page, 'draft-job:', () => write(page.getByRole('dialog', { name: 'Access' }), 'Access', 'Gate code at the'));
  await host.stop('SIGKILL');

  const again = await serveAgain(host.data);
  t.after(() => again.stop());
  assert.notEqual(again.origin, host.origin);
  const { page: after } = await phone(chrome, again);
  // It opens where it was left.
  await at(after, 'Site');
  assert.equal(await skipped(after), next);

  await open(after, measuring, 'Measure');
  assert.equal(await after.getByText('Say once for this run how it is read.').count(), 0);
  await after.getByRole('group', { name: 'Not saved yet' }).getByText('729… mm').waitFor();
  assert.doesNotMatch(await after.getByRole('status', { name: 'Value' }).innerText(), /29/, 'a draft is not filled in by itself');
  await touch(after, 'button', 'Go on');
  const answered = await calls(after, 'measure', () => pad(after, '9', /^Keep/));
  assert.equal(answered.request().postDataJSON().length.text, '7299');
  await open(after, `${measuring}&again`, 'Measure');
  assert.equal(await after.getByRole('group', { name: 'Not saved yet' }).count(), 0, 'what is saved is no draft');

  await open(after, site, 'Site');
  await row(after, 'Access');
  const card = after.getByRole('dialog', { name: 'Access' });
  await card.getByText('Gate code at the …').waitFor();
  await touch(card, 'button', 'Go on');
  assert.equal(await card.getByRole('textbox', { name: 'Access' }).inputValue(), 'Gate code at the');
  await touch(card, 'button', 'Cancel');
  await row(after, 'Access');
  assert.equal(await card.getByText('Not saved yet:').count(), 0, 'what is cancelled is no draft');
});

test('what is taken over from another post in inches stays the very figure that stands there', { timeout: 60_000 }, async (t) => {
  const host = await serve(t, 'alike');
  const job = await surveyed(host);
  const [run] = job.runs;
  const fields = [['name', '', 'A9'], ['position', run.id, { nm: 7_000_000_000 }], ['role', run.id, 'intermediate']];
  const { created } = await host.call('addThing', { job: job.job, thing: 'post', fields: fields.map(([field, place, value]) => ({ field, place, value })), confirmed: true });
  const { page } = await phone(await browser(t), host);
  await open(page, '#/device', 'This device');
  await touch(page, 'button', 'Inches and sixteenths');
  await open(page, `#/job/${job.job}/run/${run.id}?at=${encodeURIComponent(created)}`, `Run ${run.name}`);
  await row(page, 'Section');
  const card = page.getByRole('dialog', { name: 'Section' });
  await touch(card, 'button', starts('As A1'));
  await calls(page, 'say', () => touch(card, 'button', 'Keep'));
  const sections = (await host.call('readJob', { job: job.job })).runs[0].posts.filter((p) => ['A1', 'A9'].includes(p.name));
  const told = await Promise.all(sections.map(async (p) => (await host.call('readSubject', { job: job.job, subject: p.subject })).facts.find((f) => f.field === 'section').words[0].value));
  assert.equal(told.length, 2);
  // 115 mm show as 4 1/2 in, which are 114.3 mm.
  assert.deepEqual(told[0], told[1]);
  assert.equal(told[0].alongNm, 115_000_000);
});

test('an odd value of a form is asked about in words and kept on a yes', { timeout: 60_000 }, async (t) => {
  const host = await serve(t, 'odd');
  const job = await surveyed(host);
  const [run] = job.runs;
  const { page } = await phone(await browser(t), host);
  await open(page, `#/job/${job.job}/run/${run.id}/tensions`, 'Tension plan');
  for (const [label, text] of [['Required', '600'], ['Set', '700'], ['Upper', '1800'], ['Passes, newtons', '700']]) await write(page, label, text);
  await calls(page, 'setTensions', () => touch(page, 'button', 'Keep'));
  const question = page.getByRole('alert').filter({ hasText: '600' });
  await question.waitFor();
  const asked = async () => (await host.call('readJob', { job: job.job })).runs[0].tensions;
  assert.equal(await asked(), null, 'nothing is kept before the answer');
  // Typing on takes the question back: it was about another value.
  await write(page, 'Required', '610');
  await question.waitFor({ state: 'detached' });
  await calls(page, 'setTensions', () => touch(page, 'button', 'Keep'));
  await calls(page, 'setTensions', () => touch(page, 'button', 'Yes, keep it'));
  await page.getByRole('list', { name: 'Decided' }).getByText('610 N').waitFor();
  assert.equal((await asked()).requiredMn, 610_000);

  // Inches among millimetres in a new run: asked before anything of it is recorded.
  await open(page, `#/job/${job.job}/new-run`, 'New run');
  const fields = { Run: 'C', 'End posts, width': '90', 'Posts between, width': '90', 'End posts, depth': '90', 'Posts between, depth': '90', 'Bays from the left, clear': '1400; 55', 'Number of wires': '4', 'Bottom wire above the floor': '80', 'Wire to wire, centres': '76' };
  for (const [label, text] of Object.entries(fields)) await write(page, label, text);
  await choose(page, 'Level or raked', 'Level');
  await touch(page, 'button', 'Keep the run');
  await page.getByRole('alert').filter({ hasText: '25 times shorter than bay 1' }).waitFor();
  assert.equal((await host.call('readJob', { job: job.job })).runs.length, 2);
  await touch(page, 'button', 'Yes, keep it');
  await at(page, 'Run C');
  await go(page, 'link', 'Back', job.title);
});
