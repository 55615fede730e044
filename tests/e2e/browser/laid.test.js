// What is told before wires are laid out, by touch on a phone: a rule set chosen by the permit's day, what is asked early, a
// run begun without its wires, where the sphere passes beside the button, holes put off the middle of their face.
import assert from 'node:assert/strict';
import test from 'node:test';
import { serve } from '../lib/host.js';
import { browser, phone, unexpected } from '../lib/phone.js';
import { answer, at, calls, choose, go, named, touch, write } from '../lib/touch.js';
import { stands } from '../steps/ready.js';
import { open } from '../steps/screens.js';
import { surveyed } from '../steps/surveyed.js';

const plain = (text) => text.replaceAll('\u00a0', ' ');

test('a job is begun by the permit’s day and a run without its wires', { timeout: 90_000 }, async (t) => {
  const host = await serve(t, 'early');
  await host.call('foundCrew', { crew: 'Crew', person: 'Ann', role: 'surveyor' });
  const { page, wrong } = await phone(await browser(t), host);
  await go(page, 'link', 'New job', 'New job');
  await write(page, 'Title', 'Deck');
  await write(page, 'Address', 'Sandbank 4');
  const lines = async () => (await named(page, 'combobox', 'Rule set').locator('option').allInnerTexts()).map(plain);
  await page.getByText('counts from 1 May 2023').first().waitFor({ state: 'attached' });
  assert.ok((await lines()).some((line) => /housing barriers, 2022 · AU · edition 2022.*counts from 1 May 2023$/.test(line)), String(await lines()));
  // Before its first day it is said so at the choice, and chosen all the same.
  await page.getByLabel('Permit date').fill('2022-06-01');
  await choose(page, 'Rule set', { value: 'au-2022' });
  await page.getByText('It did not count on the permit’s day.').waitFor();
  assert.ok((await lines()).some((line) => line.startsWith('✕ Australia') && line.endsWith('did not count yet')));
  await page.getByLabel('Permit date').fill('2026-09-02');
  await page.getByText('It did not count on the permit’s day.').waitFor({ state: 'detached' });
  await answer(page, 'A pool’s boundary?', 'Yes');
  await page.getByText('Horizontal wires are often refused at pools.').waitFor();
  await touch(page, 'button', 'Begin the job');
  await at(page, 'Deck');
  const [, job] = /#\/job\/([^/?]+)/.exec(page.url());
  assert.equal((await stands(host, job, `job:${job}`, 'pool'))[0].value, true);
  assert.equal((await stands(host, job, `job:${job}`, 'permitDate'))[0].value, '2026-09-02');

  await open(page, `#/job/${job}/new-run`, 'New run');
  await write(page, 'Run', 'A');
  for (const label of ['End posts, width', 'End posts, depth']) await write(page, label, '115');
  await write(page, 'Bays from the left, clear', '1380');
  await choose(page, 'Level or raked', 'Level');
  // What the set says of level wires stands there, and stops nobody.
  await page.getByText(/nothing level between 150\smm and 760\smm may help climbing/).waitFor();
  await write(page, 'Number of wires', '4');
  await touch(page, 'button', 'Keep the run');
  await page.getByText('go together: tell all three').waitFor();
  await write(page, 'Number of wires', '');
  await touch(page, 'button', 'Keep the run');
  await at(page, 'Run A');
  const { runs } = await host.call('readJob', { job });
  assert.deepEqual([runs[0].wires.length, runs[0].posts.length], [0, 2]);
  const strands = (await host.call('libraries', {})).strands;
  const { created } = await host.call('useStrand', { job, name: strands[0].key });
  await host.call('say', { job, claims: [{ subject: runs[0].subject, field: 'strand', value: created.split(':')[1] }], confirmed: true });
  await open(page, `#/job/${job}`, 'Deck');
  // What a layout goes by is asked first; that may be left.
  await go(page, 'link', /Site: do young children come here\?/, 'Site');
  await touch(page.getByRole('dialog'), 'button', 'Skip all questions');
  await page.getByRole('dialog').waitFor({ state: 'detached' });
  await touch(page, 'link', 'Back');
  await at(page, 'Deck');
  await go(page, 'link', /Run A: lay out its wires/, 'Layout of wires');
  await touch(page, 'link', 'Tell number and heights of the wires yourself');
  await at(page, 'Run A');
  assert.deepEqual(unexpected(wrong), []);
});

test('a layout says beside its button where the sphere passes, and holes are put aside', { timeout: 90_000 }, async (t) => {
  const host = await serve(t, 'aside');
  const { job, runs } = await surveyed(host);
  const [run] = runs;
  const last = run.posts.at(-1);
  const claims = [{ subject: last.subject, field: 'floor', value: { nm: -73_000_000 } }, { subject: run.subject, field: 'followsFloor', value: false }, { subject: run.subject, field: 'railFollowsFloor', value: false }];
  await host.call('say', { job, claims, confirmed: true });
  const { page, wrong } = await phone(await browser(t), host);
  await open(page, `#/job/${job}/run/${run.id}/layout`, 'Layout of wires');
  const twelve = page.getByRole('region', { name: '12 wires', exact: true });
  const passes = twelve.getByText(/Below the bottom wire a sphere of 125\smm passes at rest: A6, 147.4\smm/);
  await passes.waitFor();
  // Post A6 also carries the stair: nothing up or down clears its holes, 4 mm aside does.
  assert.match(plain(await page.locator('main').innerText()), /no way of one spacing up or down clears the holes. Holes 4 mm off the middle/);
  await calls(page, 'putAside', () => touch(page, 'button', /^On the left: ours 4\smm right of the middle$/));
  await page.getByText(/at least 20\smm of wood stays/).first().waitFor();
  // The form stands below what is found: asked for anew, that comes to the eye and the hand.
  await calls(page, 'layOut', () => touch(page, 'button', 'Lay out'));
  const found = named(page, 'heading', 'What could be laid out');
  await page.waitForFunction(() => document.activeElement?.tagName === 'H2');
  assert.ok(await found.evaluate((e) => e === document.activeElement));
  const { y } = await found.boundingBox();
  assert.ok(y >= 0 && y < page.viewportSize().height / 4, `it stands at ${y}`);
  const end = (await stands(host, job, last.subject, 'end', run.id))[0].value;
  assert.deepEqual([end.asideNm, end.otherEnters, end.kind], [4_000_000, 'left', 'insert']);
  await open(page, `#/job/${job}/run/${run.id}/holes`, 'Hole schedule');
  await page.getByText(/4\smm right of the face’s middle/).waitFor();
  assert.deepEqual(unexpected(wrong), []);
});
