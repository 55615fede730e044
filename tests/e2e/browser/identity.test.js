// A device whose data were copied and used twice: told plainly, put right by touch, and the digits also as a QR picture.
import assert from 'node:assert/strict';
import { cp, rm } from 'node:fs/promises';
import test from 'node:test';
import { folder, serve, serveAgain } from '../lib/host.js';
import { browser, phone, unexpected } from '../lib/phone.js';
import { readQr } from '../lib/qr.js';
import { calls, go, starts, touch } from '../lib/touch.js';
import * as crew from '../steps/crew.js';
import { exchange, joined } from '../steps/met.js';

test('a record that went two ways: a new identity, and joining again', { timeout: 90_000 }, async (t) => {
  const shared = await folder(t, 'shared');
  const ann = await serve(t, 'ann');
  await ann.call('foundCrew', { crew: 'Crew', person: 'Ann', role: 'surveyor' });
  const { created } = await ann.call('beginJob', { title: 'Deck', place: 'an island' });
  const job = created.replace('job:', '');
  const ben = await serve(t, 'ben');
  await joined(ann, ben, shared);

  // The same data on a second device, as after a backup that was put back.
  await ben.stop();
  const copied = await folder(t, 'twin');
  await rm(copied, { recursive: true });
  await cp(ben.data, copied, { recursive: true });
  const note = (host, text) => host.call('say', { job, claims: [{ subject: created, field: 'note', value: text }] });
  const again = await serveAgain(ben.data);
  t.after(() => again.stop());
  await note(again, 'by the first');
  await exchange(again);
  const twin = await serveAgain(copied);
  t.after(() => twin.stop());
  await note(twin, 'by the second');

  const chrome = await browser(t);
  const here = await phone(chrome, twin);
  const keeper = await phone(chrome, ann);
  await go(here.page, 'link', starts('Exchange:'), 'Exchange');
  await calls(here.page, 'startSync', () => touch(here.page, 'button', 'Exchange now'));
  const told = here.page.getByRole('region', { name: 'This device’s record went two ways' });
  await told.waitFor();
  const before = (await twin.call('overview', {})).device;

  await touch(told, 'button', 'Take a new identity');
  const asking = here.page.getByRole('dialog', { name: 'Take a new identity' });
  await touch(asking, 'button', 'Cancel');
  await asking.waitFor({ state: 'detached' });
  assert.equal((await twin.call('overview', {})).device, before, 'nothing is taken before yes is said');
  await touch(told, 'button', 'Take a new identity');
  await calls(here.page, 'newIdentity', () => touch(asking, 'button', 'Yes, take it and join again'));
  const own = here.page.getByRole('region', { name: 'Digits to compare' });
  const onTwin = await own.getByText(/^\d{4} \d{4} \d{4} \d{4}$/).innerText();
  assert.notEqual((await twin.call('overview', {})).device, before);

  await go(keeper.page, 'link', starts('Exchange:'), 'Exchange');
  const { asking: wants, digits: onAnn } = await crew.applicant(keeper.page, 'Ben');
  assert.equal(onTwin, onAnn);
  const { devices: [{ whole }] } = await ann.call('applicants', {});
  assert.match(whole, /^\S{20,} \S{20,}$/);
  for (const scope of [own, wants]) {
    const picture = scope.getByRole('img', { name: starts(`Picture of the digits ${onAnn}`) });
    for (const colorScheme of ['light', 'dark']) {
      await picture.page().emulateMedia({ colorScheme });
      assert.equal(await readQr(picture), whole, colorScheme);
    }
  }

  // A screen that was left between asking and comparing shows the digits again.
  await here.page.reload();
  await own.getByText(onTwin).waitFor();
  await crew.confirm(here.page, onAnn);
  await here.page.getByText(/This device is not admitted yet/).waitFor();
  await crew.admit(keeper.page, wants, onTwin);
  await crew.exchange(keeper.page);
  await crew.exchange(here.page);
  await here.page.getByText(/This device is not admitted yet/).waitFor({ state: 'detached' });
  await note(twin, 'under the new identity');
  await crew.exchange(here.page);
  await crew.exchange(keeper.page);
  const { facts } = await ann.call('readSubject', { job, subject: created });
  const notes = facts.filter((f) => f.field === 'note').flatMap((f) => f.words.map((w) => w.value));
  assert.deepEqual(notes.sort(), ['by the first', 'by the second', 'under the new identity']);
  for (const { wrong } of [here, keeper]) assert.deepEqual(unexpected(wrong), []);
});
