// Step 4 by touch: sample crimp, ticks, a wire made anew, tension, gaps, a picture, a defect.
import assert from 'node:assert/strict';
import { join } from 'node:path';
import { root } from '../lib/host.js';
import { quiet } from '../lib/phone.js';
import { at, calls, choose, go, named, pad, row, starts, touch, write } from '../lib/touch.js';
import { closeCard } from './crew.js';
import { stateOfLine } from './order.js';
import { JOB, room } from './survey.js';

const AFTER_CUT = ['Insertion marked', 'Left end pressed', 'Threaded', 'Right end pressed', 'Fitted', 'Witness marks made'];

export async function sampleCrimp(page) {
  await go(page, 'link', 'Back', JOB);
  await row(page, 'Sample crimp', 'Sample crimp');
  await write(page, 'Pull held', '3700');
  await write(page, 'For how long, seconds', '60');
  // Nothing is filled in: how far the mark moved, and whether it is good, somebody saw.
  await write(page, 'Mark moved by', '0');
  await choose(page, 'Result', 'Good');
  await calls(page, 'addSampleCrimp', () => touch(page, 'button', 'Keep'));
  await page.getByRole('list', { name: 'Samples' }).getByText('3700 N').waitFor();
  await go(page, 'link', 'Back', JOB);
  await go(page, 'link', 'Run A', 'Run A');
}

async function act(page, name) {
  await touch(page.getByRole('group', { name: 'Act', exact: true }), 'button', name);
  await page.getByRole('group', { name, exact: true }).waitFor();
}

/** All of it is looked at for the wires that wait: five touches, said at the last. */
async function look(page, wires) {
  const checks = page.getByRole('region', { name: 'Before the second ends, wires', exact: true });
  await named(checks, 'heading', `Before the second ends, wires: ${wires}`).waitFor();
  for (const what of ['Sleeves on', 'Wire through all posts', 'Lock nuts on', 'Hand tried']) await touch(checks, 'button', what);
  await checks.getByText('Looked at 4 of 5.').waitFor();
  await calls(page, 'say', () => touch(checks, 'button', 'Stud passes the hole'));
  await checks.getByText('No threaded wire waits for a look.').waitFor();
}

/** A second end that is pressed before anything was looked at is asked about; then all of it is ticked. */
async function lookBeforeSecondEnd(page) {
  await touch(page, 'button', 'Right end pressed, wire 2');
  const asked = page.getByRole('dialog', { name: 'Right end pressed', exact: true });
  await asked.getByText(/this is not ticked: .*There is no way back/).waitFor();
  await touch(asked, 'button', 'Cancel');
  await look(page, '2');
}

/** The trial wire goes through every act alone. */
export async function fitTrialWire(page) {
  await room(page, 'Ticks');
  for (const name of AFTER_CUT) {
    await act(page, name);
    if (name === 'Right end pressed') await lookBeforeSecondEnd(page);
    await calls(page, 'tickWires', () => touch(page, 'button', `${name}, wire 2`));
    await page.getByRole('button', { name: `${name}, wire 2`, pressed: true }).waitFor();
  }
  await go(page, 'link', 'Back', 'Run A');
}

/** The fitted trial wire is read on the cut sheet; it tells what the others become. */
export async function readTrialWire(page) {
  await room(page, 'Cut sheet');
  await write(page, 'Thread left, A1 end', '14.0');
  await write(page, 'Thread left, A3 end', '14.5');
  await calls(page, 'learned', () => touch(page, 'button', 'Keep the reading'));
  await named(page, 'heading', 'What the trial wire teaches').waitFor();
  assert.ok((await page.getByRole('img', { name: /learned: cut/ }).count()) > 0, 'windows before and after');
  await go(page, 'link', 'Back', 'Run A');
}

/** Releases all that is left on the cut sheet, by the deduction that the person chooses. */
export async function release(page, count, wires) {
  await room(page, 'Cut sheet');
  await calls(page, 'issueCuts', () => touch(page, 'button', `Release ${count === 1 ? '1 wire' : `${count} wires`} as computed`));
  await calls(page, 'issueCuts', () => touch(page.getByRole('dialog').filter({ hasText: 'cuts may come out too long' }), 'button', 'Release all the same'));
  for (const wire of wires) await stateOfLine(page, wire, 'released');
  await go(page, 'link', 'Back', 'Run A');
}

/** One touch for all wires that are ready, told by their count and numbers. */
const allLeft = (name) => new RegExp(`^${name}: (all \\d+ that are (left|ready), wires|the one that is (left|ready), wire) [\\d–, ]+$`);

/**
 * Whole-run ticks: one touch an act; the crimps of an end with one touch. Wires that came after the look before the second
 * ends are asked about: looked at again, or said yes to.
 */
export async function tickAll(page, anew = false) {
  await room(page, 'Ticks');
  for (const name of ['Cut', ...AFTER_CUT]) {
    await act(page, name);
    await calls(page, 'tickWires', () => touch(page, 'button', allLeft(name)));
    if (name === 'Right end pressed') {
      const asked = page.getByRole('dialog').filter({ hasText: 'not among the wires that were ticked as threaded' });
      await asked.getByText(anew ? 'Wire A3 is not among' : 'A1, A3 and A4 are not among').waitFor();
      if (anew) await calls(page, 'tickWires', () => touch(asked, 'button', 'Tick all the same'));
      else {
        await touch(asked, 'button', 'Cancel');
        await look(page, '1, 3–4');
        await calls(page, 'tickWires', () => touch(page, 'button', allLeft(name)));
      }
    }
    await named(page, 'heading', `${name} 4 of 4`).waitFor();
    if (name.endsWith('pressed')) {
      await calls(page, 'checkCrimps', () => touch(page, 'button', anew ? 'Crimp of 1 wire, good' : /^Crimps of \d wires, all good$/));
      await page.getByRole('button', { name: /^Crimp/ }).waitFor({ state: 'detached' });
    }
  }
  await go(page, 'link', 'Back', 'Run A');
}

export async function openWire(page, number) {
  await named(page.getByRole('list', { name: 'Wires', exact: true }), 'button', starts(`Wire ${number} `)).tap();
  return page.getByRole('dialog', { name: `Wire ${number}`, exact: true });
}

/** A rejected terminal: the wire is taken out and made again, with the reason. */
export async function remake(page) {
  const card = await openWire(page, 3);
  await touch(card, 'button', 'Reject, end at post A3');
  const reject = page.getByRole('dialog', { name: 'Wire A3, end at post A3: reject', exact: true });
  await touch(reject, 'button', 'Mark not at the mouth');
  await calls(page, 'checkCrimps', () => touch(reject, 'button', 'Reject the end at post A3 of wire A3'));
  await card.getByText('crimp reject: Mark not at the mouth').waitFor();
  await touch(card, 'button', 'Take out and make again');
  const why = page.getByRole('dialog', { name: 'Wire A3: take out and make again', exact: true });
  await touch(why, 'button', 'Terminal rejected');
  await calls(page, 'remakeWire', () => touch(why, 'button', 'Take out wire A3'));
  await card.getByText('piece 2').waitFor();
  await closeCard(page);
}

/** One round: gauge, bay and temperature set once, then a number a wire; one is low and read again. */
export async function tension(page) {
  await room(page, 'Tension Readings', 'Tension');
  await choose(page, 'Tension gauge', 'G-02');
  await choose(page, 'Bay where it is read', 'A2–A3');
  await write(page, 'Air', '24');
  await readTension(page, 1, '1510');
  await readTension(page, 2, '1240');
  await page.getByRole('alert').filter({ hasText: 'Wire 2 reads 1240 N. It needs 1330 N.' }).waitFor();
  await readTension(page, 3, '1490');
  await readTension(page, 4, '1505');
  await page.getByText('Every wire has a reading in this round.').waitFor();
  await touch(page.getByRole('group', { name: 'Read a wire again' }), 'button', 'Wire 2');
  await readTension(page, 2, '1495');
  await page.getByText('Every wire has a reading in this round.').waitFor();
  assert.equal(await page.getByRole('alert').count(), 0);
  await openRound(page);
  await touch(page.getByRole('group', { name: 'Stage' }), 'button', 'Recheck');
  // A recheck is another day's work: how warm it is, is asked again.
  await write(page, 'Air', '19');
  await touch(page.getByRole('group', { name: 'Read a wire again' }), 'button', 'Wire 2');
  await readTension(page, 2, '1420');
  await go(page, 'link', 'Back', 'Run A');
}

/** What is set for a round folds away once nothing is missing; its one line opens it again. */
export async function openRound(page) {
  await page.getByRole('button', { name: /^(Pass|Final|Recheck)/, expanded: false }).tap();
}

/** In whatever order the plan goes: the wire is chosen by its number. */
async function readTension(page, wire, newtons) {
  // What was kept before may still move the keys: a person looks before the next touch.
  await quiet(page);
  await touch(page.getByRole('group', { name: 'Read a wire again' }), 'button', `Wire ${wire}`);
  await page.getByRole('heading', { name: `Wire ${wire}`, exact: true }).waitFor();
  const answered = await calls(page, 'readTension', () => pad(page, newtons, /^Keep/));
  assert.equal(answered.status(), 200);
}

/** Where the probe passed before, "all stop" is kept on a yes. */
export async function allStop(page, where) {
  const asked = page.getByRole('dialog').filter({ hasText: `A probe passed ${where} when one was offered last.` });
  await asked.waitFor();
  await calls(page, 'checkGaps', () => touch(asked, 'button', 'Yes, keep it'));
}

/** The probe is given once; each bay is ticked with one touch. */
export async function gaps(page) {
  await room(page, 'Gaps');
  await write(page, 'Name or number', 'probe 125');
  await write(page, 'Probe diameter', '125');
  await touch(page, 'button', 'Keep');
  // One opening lets it through; eased, the whole bay is offered it again.
  const first = page.getByRole('region', { name: 'Gaps, Bay A1–A2' });
  await touch(first, 'button', 'Passes through, A1–A2');
  await touch(first, 'button', 'Wire 2–3');
  await calls(page, 'checkGaps', () => touch(first, 'button', 'Keep: passes at 1 opening'));
  await first.getByText(/Wire 2–3: passes/).waitFor();
  for (const bay of ['A1–A2', 'A2–A3']) {
    await calls(page, 'checkGaps', () => touch(page, 'button', `All stop, ${bay}`));
    if (bay === 'A1–A2') await allStop(page, 'between wires 2 and 3');
    await page.getByRole('region', { name: `Gaps, Bay ${bay}` }).getByText('All stop it (Ben).').waitFor();
  }
  await page.getByText('In 2 of 2 bays all stop.').waitFor();
  await go(page, 'link', 'Back', 'Run A');
}

/** A picture from a file, tied to the card that was open. */
export async function picture(page) {
  const card = await openWire(page, 2);
  await touch(card, 'button', 'Picture');
  await write(card, 'Caption', 'Gauge on wire 2');
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), card.getByText('From a file', { exact: true }).tap()]);
  await calls(page, 'addPhoto', () => chooser.setFiles(join(root, 'fixtures/photos/orientation-6.jpg')));
  await card.getByRole('img', { name: 'Gauge on wire 2' }).waitFor();
  await closeCard(page);
}

/** Something to put right, found on a wire's card and closed in the list of defects. */
export async function defect(page) {
  const card = await openWire(page, 2);
  await touch(card, 'button', 'Something to put right');
  await write(card, 'What is wrong at Wire 2?', 'Pinched at A2');
  await calls(page, 'addThing', () => touch(card.getByRole('region', { name: 'Defects' }), 'button', 'Keep'));
  await card.getByText(/Pinched at A2/).waitFor();
  await touch(card, 'button', 'No picture now');
  await card.getByText('Pinched at A2', { exact: true }).waitFor();
  await closeCard(page);
  await go(page, 'link', 'Back', JOB);
  await row(page, 'Defects', 'Defects');
  await named(page.getByRole('list', { name: 'To put right' }), 'button', starts('Pinched at A2')).tap();
  const found = page.getByRole('dialog', { name: 'Pinched at A2' });
  await write(found, 'What was done', 'Hole eased, three flats more');
  await calls(page, 'say', () => touch(found, 'button', 'Put right'));
  await named(page.getByRole('list', { name: 'Put right', exact: true }), 'button', starts('Pinched at A2')).waitFor();
  await found.getByText('Put right. Take a picture from the same place as before.').waitFor();
  await touch(found, 'button', 'Close');
  await go(page, 'link', 'Back', JOB);
}
