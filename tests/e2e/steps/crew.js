// Steps 4 and 5 by touch, on two phones: share, join and admit with compared digits, exchange, and a dispute.
import assert from 'node:assert/strict';
import { at, calls, choose, go, named, row, starts, touch, write } from '../lib/touch.js';
import { close, say } from './facts.js';
import { stateOfLine } from './order.js';
import { FOR_CUTTING, JOB, length, room, sayFirst } from './survey.js';

const DIGITS = /^\d{4} \d{4} \d{4} \d{4}$/;

async function toExchange(page) {
  await go(page, 'link', starts('Exchange:'), 'Exchange');
}

/** Begins sharing a folder; the first exchange puts the record there. */
export async function share(page, folder) {
  await toExchange(page);
  await touch(page, 'button', 'Share a folder');
  await write(page, 'Folder', folder);
  await calls(page, 'share', () => touch(page, 'button', 'Begin sharing'));
  await exchange(page);
}

/** Asks to join; answers the digits that this screen shows. */
export async function join(page, folder) {
  await toExchange(page);
  await touch(page, 'button', 'Join a crew');
  await write(page, 'Folder', folder);
  await calls(page, 'join', () => touch(page, 'button', 'Join'));
  const own = page.getByRole('region', { name: 'Digits to compare' });
  return own.getByText(DIGITS).innerText();
}

/** What the keeper's screen shows of a device that asks. */
export async function applicant(page, name) {
  await touch(page, 'button', 'Look again');
  const asking = page.getByRole('region', { name: starts('Admit a device') });
  assert.match(await asking.getByRole('heading').innerText(), new RegExp(name));
  return { asking, digits: await asking.getByText(DIGITS).innerText() };
}

/** Digits that differ are not confirmed, and nothing is joined. */
export async function confirmWrong(page) {
  const own = page.getByRole('region', { name: 'Digits to compare' });
  await write(own, 'Type the digits the other screen shows', '0000 0000 0000 0000');
  const refused = await calls(page, 'confirmJoin', () => touch(own, 'button', 'They are the same'));
  assert.equal(refused.ok(), false);
  await own.waitFor();
}

export async function confirm(page, digits) {
  const own = page.getByRole('region', { name: 'Digits to compare' });
  await write(own, 'Type the digits the other screen shows', digits);
  const joined = await calls(page, 'confirmJoin', () => touch(own, 'button', 'They are the same'));
  assert.equal(joined.status(), 200);
  // Once: it is not asked for again while this device waits to be admitted.
  await page.getByText('This device is not admitted yet').waitFor();
  await own.waitFor({ state: 'detached' });
  await page.reload();
  await page.getByText('This device is not admitted yet').waitFor();
  assert.equal(await own.count(), 0);
}

export async function admit(page, asking, digits, role = 'Installer') {
  await write(asking, 'Type the digits the other screen shows', digits);
  await choose(asking, 'Role', role);
  const admitted = await calls(page, 'admit', () => touch(asking, 'button', 'The digits are the same: admit'));
  assert.equal(admitted.status(), 200);
  await page.getByText('Nobody asks to join.').waitFor();
}

/** Exchanges with the folder and waits for the end of it; stands on the exchange screen. */
export async function exchange(page) {
  const now = named(page, 'button', 'Exchange now');
  await calls(page, 'startSync', () => now.tap());
  await now.waitFor();
  assert.deepEqual(await page.getByRole('alert').allInnerTexts(), []);
}

/** From anywhere to the exchange, and back to the run. */
export async function exchangeAndReturn(page) {
  await exchangeHome(page);
  await toRun(page);
}

/** From anywhere to the exchange; stays there. */
export async function exchangeHome(page) {
  await toExchange(page);
  await exchange(page);
}

export async function toRun(page) {
  await go(page, 'link', 'Back', 'Jobs');
  await row(page, JOB, JOB);
  await go(page, 'link', 'Run A', 'Run A');
}

/** Corrects a length of the top wire; stands on the run before and after. A device that never measured this run is asked how. */
export async function correct(page, digits, first = false) {
  await room(page, 'Measure');
  await named(page.getByRole('list', { name: 'To measure' }), 'button', starts('Wire 4, top')).tap();
  if (first) await sayFirst(page, [...FOR_CUTTING, ['With', 'Tape']]);
  await length(page, 'Wire 4, top', digits);
  await go(page, 'link', 'Back', 'Run A');
}

/** Both words side by side on a wire's card, with who said each. */
export async function bothWords(page, said) {
  await named(page.getByRole('list', { name: 'Wires', exact: true }), 'button', /^Wire 4 .*disputed/).tap();
  const dispute = page.getByRole('dialog', { name: 'Wire 4' }).getByRole('region', { name: 'Two people say different things' });
  for (const [who, value] of said) {
    await dispute.getByText(who, { exact: true }).waitFor();
    await dispute.getByText(value, { exact: true }).waitFor();
  }
  return dispute;
}

export async function closeCard(page) {
  await touch(page.getByRole('dialog'), 'button', 'Close');
  await page.getByRole('dialog').waitFor({ state: 'detached' });
}

/** A disputed length is refused for cutting, with the reason. */
export async function blockedFromCutting(page) {
  await room(page, 'Cut sheet');
  await page.getByRole('alert').getByText(/Wire 4: two people give different lengths/).waitFor();
  await stateOfLine(page, '4', 'not for cutting');
  await go(page, 'link', 'Back', 'Run A');
}

/** Measured again, by way of the one large button and the card it opens: the new word holds over both. */
export async function settleByMeasuring(page, digits) {
  await named(page, 'link', starts('Settle wire A4')).tap();
  const card = page.getByRole('dialog', { name: 'Wire 4', exact: true });
  await touch(card, 'button', 'Measure again');
  await at(page, 'Measure');
  await length(page, 'Wire 4, top', digits);
  await go(page, 'link', 'Back', 'Run A');
}

/** One side is taken as it stands, from the wire's card. */
export async function takeSide(page, who) {
  await named(page.getByRole('list', { name: 'Wires', exact: true }), 'button', /^Wire 4 .*disputed/).tap();
  const card = page.getByRole('dialog', { name: 'Wire 4', exact: true });
  await touch(card, 'button', `Take ${who}’s`);
  await why(page, who);
  await card.getByRole('region', { name: 'Two people say different things' }).waitFor({ state: 'detached' });
  await closeCard(page);
}

/** On the run's screen: the post's card opens, a fact is chosen on it, and it closes. */
export async function sayAtPost(page, post, fact, words) {
  await named(page.getByRole('list', { name: 'Posts and bays' }), 'button', starts(`Post ${post}`)).tap();
  const card = page.getByRole('dialog', { name: `Post ${post}`, exact: true });
  await say(card, page, fact, (form) => choose(form, fact, words));
  await close(page, card);
}

/** From the job, by its one large button: the post's card opens with both words first, and one of them is taken. */
export async function settleAtPost(page, post, fact, who) {
  await go(page, 'link', 'Back', JOB);
  await named(page, 'link', starts('Settle')).tap();
  const card = page.getByRole('dialog', { name: `Post ${post}`, exact: true });
  await named(card, 'button', starts(fact)).tap();
  const sheet = page.getByRole('dialog', { name: fact, exact: true });
  await touch(sheet, 'button', `Take ${who}’s`);
  await why(page, who);
  await sheet.waitFor({ state: 'detached' });
  await closeCard(page);
}

/** The shared folder is looked over from the exchange screen, and nothing is wrong there. */
export async function lookOver(page) {
  await toExchange(page);
  await calls(page, 'startVerify', () => touch(page, 'button', 'Check the shared folder'));
  await page.getByText('Checked: what is there is genuine and unbroken.').waitFor();
  assert.deepEqual(await page.getByRole('alert').allInnerTexts(), []);
  await toRun(page);
}

/** No dispute is left: the wire counts as measured. */
export async function settled(page) {
  await named(page.getByRole('list', { name: 'Wires', exact: true }), 'button', 'Wire 4 measured').waitFor();
  assert.equal(await page.getByText('two people say different things').count(), 0);
}

/** From any screen to the exchange and, where a job is named, back to it. */
export async function exchangeFrom(page, job) {
  await exchangeHome(page);
  if (!job) return;
  await go(page, 'link', 'Back', 'Jobs');
  await row(page, job, job);
}

/** A word holds for a reason that a person gives. */
export async function why(page, who) {
  const asked = page.getByRole('dialog', { name: `Take ${who}’s`, exact: true });
  await calls(page, 'settle', () => touch(asked, 'button', 'Looked at again together'));
}
