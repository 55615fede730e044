// Step 1 by touch: who writes here, the job, its materials, the run, and its lengths.
import assert from 'node:assert/strict';
import { join } from 'node:path';
import { root } from '../lib/host.js';
import { answer, at, calls, choose, go, named, pad, row, starts, touch, write } from '../lib/touch.js';

import { close, picture, say } from './facts.js';

export const JOB = 'Deck, Quillback Rise';

export async function firstStart(page, person, role) {
  await write(page, 'Your name', person);
  await write(page, 'Name of your crew', `${person}’s crew`);
  await choose(page, 'This device is mostly for', role);
  await calls(page, 'foundCrew', () => touch(page, 'button', 'Begin'));
  await named(page, 'link', 'New job').waitFor();
}

export async function newJob(page) {
  await go(page, 'link', 'New job', 'New job');
  await write(page, 'Title', JOB);
  await write(page, 'Address', '14 Quillback Rise, Port Hesper');
  await choose(page, 'Rule set', { value: 'au-2022' });
  await touch(page, 'button', 'Begin the job');
  await at(page, JOB);
}

/** Strand and fitting set from the library, with the figures of the worked example. */
export async function materials(page) {
  await row(page, 'Strand and fittings', 'Strand and fittings');
  await choose(page, 'Strand from the library', '3.2 mm 1x19, worked example');
  await touch(page, 'button', 'Copy the strand into the job');
  await page.getByRole('list', { name: 'Strand', exact: true }).getByRole('button', { name: starts('3.2 mm 1x19') }).waitFor();
  await choose(page, 'Fitting set from the library', 'M6 stud into insert, worked example');
  await touch(page, 'button', 'Copy the fitting set into the job');
  await page.getByRole('list', { name: 'Fitting sets' }).getByRole('button', { name: starts('M6 stud') }).waitFor();
  await go(page, 'link', 'Back', JOB);
}

/** Run A: two anchors of 115, one post of 90 between them, four wires 76 apart. */
export async function newRun(page) {
  // Until the next act is known, the button at the thumb leads there too.
  await named(page, 'link', 'New run').first().tap();
  await at(page, 'New run');
  await write(page, 'Run', 'A');
  for (const [label, value] of [
    ['Top above floor or nosings', '415'],
    ['Rail underside above floor or nosings', '380'],
    ['Rail thickness', '35'],
    ['End posts, width', '115'],
    ['End posts, depth', '115'],
    ['Posts between, width', '90'],
    ['Posts between, depth', '90'],
    ['Bays from the left, clear', '1380; 1410'],
    ['Number of wires', '4'],
    ['Bottom wire above the floor', '76'],
    ['Wire to wire, centres', '76']
  ]) {
    await write(page, label, value);
  }
  await answer(page, 'Were the bays measured with a tape?', 'No');
  await choose(page, 'Stands on', 'Deck');
  await choose(page, 'Level or raked', 'Level');
  await choose(page, 'Strand', { index: 1 });
  await choose(page, 'Fitting set', { index: 1 });
  await choose(page, 'Kind of end', 'Stud into insert');
  await choose(page, 'Tensioned at', 'Both ends');
  await touch(page, 'button', 'Keep the run');
  await at(page, 'Run A');
}

/** What is to be known of the site before anything is ordered. */
export async function site(page) {
  await row(page, 'Site', 'Site');
  await say(page, page, 'Certifier or inspector', (fact) => write(fact, 'Certifier or inspector', 'Port Hesper shire'));
  await say(page, page, 'Permit date', (fact) => fact.getByLabel('Permit date', { exact: true }).fill('2026-09-14'));
  await say(page, page, 'Fall (drop) beside the barrier', (fact) => write(fact, 'Fall (drop) beside the barrier', '1602'));
  await say(page, page, 'A pool’s boundary?', (fact) => answer(fact, 'A pool’s boundary?', 'No'));
  await go(page, 'link', 'Back', JOB);
}

/** What the form of a run does not ask: floor levels, what carries the wires, an opening, a base before it is covered. */
export async function posts(page) {
  for (const post of ['A1', 'A2', 'A3']) {
    await named(page.getByRole('list', { name: 'Posts and bays' }), 'button', starts(`Post ${post}`)).tap();
    const card = page.getByRole('dialog', { name: `Post ${post}` });
    await say(card, page, 'Floor level', (fact) => write(fact, 'Floor level', '0'));
    if (post === 'A1') {
      await say(card, page, 'Carries the wire', (fact) => choose(fact, 'Kind', 'Post'));
      const list = card.getByRole('region', { name: 'Openings' });
      await touch(list, 'button', 'Add an opening');
      await choose(list, 'Kind', 'End post to wall');
      await write(list, 'As built, clear', '82');
      await choose(list, 'The probe', 'Stops');
      await write(list, 'Probe diameter', '125');
      await calls(page, 'say', () => touch(list, 'button', 'Keep'));
      await list.getByText('82 mm').first().waitFor();
      await picture(page, card, 'From a file', 'Post fixing', 'A1 base', join(root, 'fixtures/photos/orientation-1.jpg'));
    }
    await close(page, card);
  }
}

/** Opens a room of the run from the run's own screen. */
export async function room(page, words, title = words) {
  const rooms = page.getByRole('list', { name: 'Work', exact: true });
  await named(rooms, 'link', starts(words)).tap();
  await at(page, title);
}

/** Keeps one length on the pad of the measuring screen, after checking which one is asked for. */
export async function length(page, what, digits, command = 'measure') {
  await page.getByRole('heading', { name: what, exact: true }).waitFor();
  const answered = await calls(page, command, () => pad(page, digits, /^Keep/));
  assert.equal(answered.status(), 200, `${what}: ${digits}`);
}

/** Says how lengths are read, which is asked once a run before the first number; nothing is chosen beforehand. */
export async function sayFirst(page, chosen) {
  await page.getByText('Say once for this run how it is read.').waitFor();
  assert.equal(await page.getByRole('group', { name: 'Number pad' }).count(), 0, 'no number before it is said how it is read');
  for (const [group, words] of chosen) {
    const one = page.getByRole('group', { name: group, exact: true });
    assert.equal(await one.getByRole('button', { pressed: true }).count(), 0, `${group}: nothing is chosen beforehand`);
    await touch(one, 'button', words);
  }
}

export const FOR_CUTTING = [['For', 'Cut'], ['Posts', 'Rail on, inserts in'], ['Between', 'Insert faces']];

/** Sets how lengths are read from here on. */
export async function conditions(page, chosen) {
  await named(page, 'button', /, tape$/).tap();
  for (const [group, words] of chosen) {
    const one = page.getByRole('group', { name: group, exact: true });
    await touch(one, 'button', words);
  }
  await named(page, 'button', /, tape$/).tap();
}

/** Both bays with the tape, then wire 1 for the quote alone: it must not be cut from. */
export async function measureForQuote(page) {
  await room(page, 'Measure');
  await sayFirst(page, [['With', 'Tape']]);
  await length(page, 'Bay A1–A2', '1380', 'measureBay');
  await length(page, 'Bay A2–A3', '1410', 'measureBay');
  await sayFirst(page, [['For', 'Quote'], ['Posts', 'Fixed'], ['Between', 'Post faces']]);
  await page.getByText('Not for cutting: that needs purpose cut and the rail on.').waitFor();
  await length(page, 'Wire 1, bottom', '2879');
  await conditions(page, FOR_CUTTING);
  await length(page, 'Wire 2, middle', '2881');
  await length(page, 'Wire 4, top', '2884');
  // Read as lengths are cut from: the one that was read for a quote comes again by itself.
  await named(page, 'heading', 'Wire 1, bottom').waitFor();
  await go(page, 'link', 'Back', 'Run A');
}

/** Wire 1 once more, now with the rail on and the inserts in. */
export async function measureForCutting(page) {
  await room(page, 'Measure');
  await length(page, 'Wire 1, bottom', '2880');
  await page.getByText('Bays and as many wires as are needed are measured.').waitFor();
  await go(page, 'link', 'Back', 'Run A');
}
