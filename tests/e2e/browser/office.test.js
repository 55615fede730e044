// What the screens tell of the record: repeats and how far they lie apart, sign-offs whose ground moved, call-backs,
// a PDF that reaches the person, a crew whose book is damaged. All of it read back through the list of commands.
import assert from 'node:assert/strict';
import { readFile, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import test from 'node:test';
import { serve, serveAgain } from '../lib/host.js';
import { browser, phone, unexpected } from '../lib/phone.js';
import { at, calls, choose, named, starts, touch, write } from '../lib/touch.js';
import { open } from '../steps/screens.js';
import { surveyed } from '../steps/surveyed.js';

const CUT = { purpose: 'cut', posts: 'insertsIn', faces: 'insertFaces', instrument: 'tape', confirmed: true };
const plain = (text) => text.replaceAll('\u00a0', ' ');

test('one touch on a figure shows its repeats, who read them, how, and how far they lie apart', { timeout: 60_000 }, async (t) => {
  const host = await serve(t, 'repeats');
  const { job, runs } = await surveyed(host);
  const [run] = runs;
  const read = (wire, text, how = CUT) => host.call('measure', { job, run: run.id, wire, length: { text }, ...how });
  for (const text of ['7294', '7297', '7295']) await read(2, text);
  await read(2, '7280', { ...CUT, purpose: 'quote', posts: 'fixed' });
  const bay = run.bays[0].subject;
  for (const text of ['1381', '1379']) await host.call('measureBay', { job, bay, length: { text }, along: 'level', instrument: 'laser', confirmed: true });
  const { page, wrong } = await phone(await browser(t), host);

  await open(page, `#/job/${job}/run/${run.id}?at=${encodeURIComponent(`wire:${run.id}:2`)}`, 'Run A');
  const wire = page.getByRole('dialog', { name: 'Wire 2', exact: true });
  const figure = wire.locator('summary').filter({ hasText: 'Inside to inside' }).first();
  // 7294, 7297 and 7295 come to 7295.3; half their range is 1.5. The quote is told and does not count.
  const { length } = (await host.call('readJob', { job })).runs[0].wires[1];
  assert.deepEqual([length.kind, Math.round(length.mm * 10), length.spreadMm], ['cuttable', 72953, 1.5]);
  assert.match(plain(await figure.innerText()), /mean of 3, ± 1\.5 mm[\s\S]*7295\.3 mm/);
  await figure.tap();
  await wire.getByText('3 readings, 7294–7297 mm: 3 mm apart').waitFor();
  const list = wire.getByRole('list', { name: 'Readings: inside to inside' });
  assert.equal(await list.getByRole('listitem').count(), 4);
  const quote = plain(await list.getByRole('listitem').filter({ hasText: '7280' }).innerText());
  for (const told of [/Ann/, /Quote/, /not counted/]) assert.match(quote, told);
  assert.match(plain(await list.getByRole('listitem').filter({ hasText: '7297' }).innerText()), /Ann · .*20\d\d.* · Cut, rail on, inserts in, insert faces, tape/);
  await named(wire, 'link', 'Measure again').waitFor();

  await open(page, `#/job/${job}/run/${run.id}?at=${encodeURIComponent(bay)}`, 'Run A');
  const card = page.getByRole('dialog', { name: 'Bay A1–A2', exact: true });
  const clear = card.locator('summary').filter({ hasText: 'Clear, face to face' }).first();
  const counted = (await host.call('readJob', { job })).runs[0].bays[0].clearMm;
  assert.ok(plain(await clear.innerText()).includes(`${counted} mm`), `${counted} in ${await clear.innerText()}`);
  await clear.tap();
  const laser = card.getByRole('list', { name: 'Readings: clear, face to face' }).getByRole('listitem').filter({ hasText: '1379' });
  assert.match(plain(await laser.innerText()), /Ann · [\s\S]*Laser/);
  assert.deepEqual(unexpected(wrong), []);
});

test('a sign-off warns where its ground moved, not where work went on', { timeout: 60_000 }, async (t) => {
  const host = await serve(t, 'signed');
  const { job, runs, subject } = await surveyed(host);
  const run = runs[0].id;
  const tensions = { requiredMn: 1_330_000, setMn: 1_500_000, upperMn: 1_800_000, requiredOrigin: '', upperOrigin: '', passesMn: [1_500_000] };
  await host.call('setTensions', { job, run, tensions, confirmed: true });
  await host.call('signOff', { job, stage: 'survey', statement: 'Measured as recorded.' });
  await host.call('say', { job, claims: [{ subject, field: 'note', value: 'the dog is gone' }] });
  const { page, wrong } = await phone(await browser(t), host);
  const line = page.getByRole('list', { name: 'Sign-offs' }).getByRole('listitem');
  const signed = async () => (await host.call('readJob', { job })).signOffs[0];
  const shown = async () => {
    await open(page, `#/job/${job}/signoffs`, 'Sign-offs');
    return line.innerText();
  };
  assert.deepEqual([(await signed()).moved, (await signed()).since > 0], [false, true]);
  const quiet = await shown();
  assert.match(quiet, /^✓[\s\S]*1 entry since/);
  assert.doesNotMatch(quiet, /△/);

  await host.call('setTensions', { job, run, tensions: { ...tensions, setMn: 1_550_000, passesMn: [1_550_000] }, confirmed: true });
  assert.equal((await signed()).moved, true);
  await page.reload();
  assert.match(await shown(), /^△[\s\S]*something it was signed on was replaced or is disputed/);
  assert.deepEqual(unexpected(wrong), []);
});

test('a call-back: what the owner says, then its cause, what was found and done', { timeout: 60_000 }, async (t) => {
  const host = await serve(t, 'called-back');
  const { job, subject } = await surveyed(host);
  const { page, wrong } = await phone(await browser(t), host);
  const told = async () => {
    const { facts } = await host.call('readSubject', { job, subject, history: true });
    return facts.filter((f) => f.field === 'calledBack').flatMap((f) => f.words);
  };
  await open(page, `#/job/${job}/defects`, 'Defects');
  const list = page.getByRole('list', { name: 'Call-backs', exact: true });
  const card = page.getByRole('dialog', { name: 'Call-backs' });
  await touch(page, 'button', 'A call-back');
  await touch(card, 'button', 'Keep');
  await card.getByText('What the owner says: fill this in.').waitFor();
  assert.deepEqual(await told(), [], 'nothing is kept without what was said');
  await write(card, 'What the owner says', 'Wire 3 is slack by the gate');
  await calls(page, 'say', () => touch(card, 'button', 'Keep'));
  await card.waitFor({ state: 'detached' });
  const line = named(list, 'button', starts('Wire 3 is slack by the gate'));
  assert.match(await line.innerText(), /^!\s*Wire 3[\s\S]*open/);
  assert.deepEqual((await told()).map((w) => w.value), [{ complaint: 'Wire 3 is slack by the gate' }]);

  await line.tap();
  assert.equal(await card.getByRole('textbox', { name: 'What the owner says' }).inputValue(), 'Wire 3 is slack by the gate');
  await choose(card, 'What it came from', 'Post moved');
  await write(card, 'What was found', 'A4 leans 6 mm');
  await write(card, 'What was done', 'Bolts tightened, wire 3 two flats more');
  await calls(page, 'say', () => touch(card, 'button', 'Keep'));
  await card.waitFor({ state: 'detached' });
  assert.match(await line.innerText(), /^✓\s*Wire 3[\s\S]*Post moved · A4 leans 6\smm · Bolts tightened/);
  const words = await told();
  const stands = words.filter((w) => w.stands);
  assert.deepEqual(stands.map((w) => w.value), [{ complaint: 'Wire 3 is slack by the gate', cause: 'postMoved', found: 'A4 leans 6 mm', done: 'Bolts tightened, wire 3 two flats more' }]);
  assert.equal(words.length, 2, 'what was said first stays in the history');
  assert.equal(await list.getByRole('listitem').count(), 1, 'an answered call-back is no second one');

  // A second one stands beside it.
  await touch(page, 'button', 'A call-back');
  await write(card, 'What the owner says', 'Rust at the top end');
  await calls(page, 'say', () => touch(card, 'button', 'Keep'));
  await card.waitFor({ state: 'detached' });
  assert.equal(await list.getByRole('listitem').count(), 2);
  assert.equal((await told()).filter((w) => w.stands).length, 2);
  assert.deepEqual(unexpected(wrong), []);
});

test('a drilling template is handed to the person as a file', { timeout: 90_000 }, async (t) => {
  const host = await serve(t, 'template');
  const { job, runs } = await surveyed(host);
  const { page, wrong } = await phone(await browser(t), host);
  await open(page, `#/job/${job}/run/${runs[0].id}/holes`, 'Hole schedule');
  const answered = await calls(page, 'drillingTemplate', () => touch(page, 'button', 'Write the template'));
  const { file, bytes } = await answered.json();
  const [download] = await Promise.all([page.waitForEvent('download'), touch(page, 'button', 'Save the PDF')]);
  const name = file.split('/').at(-1);
  assert.equal(download.suggestedFilename(), name);
  const got = await readFile(await download.path());
  assert.equal(got.length, bytes);
  assert.ok(got.equals(await readFile(file)), 'byte for byte what was written');
  assert.equal(got.subarray(0, 5).toString(), '%PDF-');
  assert.equal(await page.getByText(host.data).count(), 0, 'no path of the program’s own folder');
  assert.deepEqual(unexpected(wrong), []);
});

test('a crew whose book is damaged is told on jobs and exchange, its reason one touch away', { timeout: 60_000 }, async (t) => {
  const host = await serve(t, 'damaged');
  await surveyed(host);
  await host.stop();
  // One letter of the founding entry: its signature no longer fits.
  const journal = join(host.data, 'journal/00000001.jsonl');
  const text = await readFile(journal, 'utf8');
  const damaged = text.replace('"role":"surveyor"', '"role":"surveyer"');
  assert.notEqual(damaged, text);
  await writeFile(journal, damaged);
  const again = await serveAgain(host.data);
  t.after(() => again.stop());
  const { crews } = await again.call('overview', {});
  const reason = crews.find((c) => c.trouble)?.trouble;
  assert.ok(reason, 'the program tells of it');
  const { page } = await phone(await browser(t), again);
  for (const [address, title] of [['#/', 'Jobs'], ['#/exchange', 'Exchange']]) {
    await open(page, address, title);
    const told = page.getByRole('alert').filter({ hasText: 'The book of this crew can’t be read on this device.' });
    await told.waitFor();
    assert.equal(await told.getByText(reason).isVisible(), false, `${title}: the reason waits`);
    await told.locator('summary').tap();
    await told.getByText(reason).waitFor();
    assert.equal(await told.getByText(reason).isVisible(), true);
  }
  await at(page, 'Exchange');
});
