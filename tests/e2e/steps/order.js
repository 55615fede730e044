// Steps 2 and 3 by touch: before ordering, what to tension to, the cut sheet, and the trial wire's cut.
import assert from 'node:assert/strict';
import { calls, choose, go, named, row, starts, touch, write } from '../lib/touch.js';
import { room, JOB } from './survey.js';

/** The quoted length is refused by name; nothing is offered for release. */
export async function quoteRefused(page) {
  await room(page, 'Cut sheet');
  await page.getByRole('alert').getByText(/Wire 1: the length was read for a quote, not for cutting/).waitFor();
  await stateOfLine(page, '1', 'not for cutting');
  await go(page, 'link', 'Back', 'Run A');
}

/** Waits until a line of the cut sheet stands so. */
export async function stateOfLine(page, wire, words) {
  const table = page.getByRole('region', { name: 'Cut sheet' });
  const line = table.getByRole('row').filter({ has: page.getByRole('button', { name: wire, exact: true }) });
  await line.getByRole('cell', { name: words, exact: true }).waitFor();
}

/** What the rule set asks, with source and who confirms; never that it complies. */
export async function beforeOrdering(page) {
  await go(page, 'link', 'Back', JOB);
  await row(page, 'Before ordering', 'Before ordering');
  const bays = page.getByRole('list', { name: 'Bays in the wire table' });
  for (const bay of ['Bay A1–A2', 'Bay A2–A3']) {
    const line = bays.getByRole('listitem').filter({ hasText: bay });
    await line.getByText(bay, { exact: true }).tap();
    await line.getByText('reads row 1500 mm, 80 mm apart').waitFor();
  }
  const told = await bays.getByRole('listitem').allInnerTexts();
  assert.equal(told.length, 2);
  // NCC 2022 housing provisions, 11.3.6 table a: 1500 mm between posts, 80 mm apart, 3 mm wire.
  for (const line of told) assert.match(line, /1330\sN/);
  const asked = page.getByRole('list', { name: 'To look at first' });
  const height = await asked.getByRole('listitem').filter({ has: named(page, 'heading', starts('Height, A')) }).innerText();
  assert.match(height, /short/);
  assert.match(height, /1000\smm asked above the floor, 415\smm given/);
  assert.match(height, /11\.3\.4\(2\).*to confirm: building certifier/s);
  assert.doesNotMatch(await page.locator('main').innerText(), /\b(is safe|complies|compliant)\b/i);
  await go(page, 'link', 'Back', JOB);
}

/** Faces that are drilled alike stand together: four holes for inserts at both ends, four through between. */
export async function holes(page) {
  await go(page, 'link', 'Run A', 'Run A');
  await room(page, 'Hole schedule');
  const heights = async (face) => {
    const table = page.getByRole('region', { name: starts(face) });
    await table.getByRole('cell').first().waitFor();
    const lines = table.getByRole('row').filter({ has: page.getByRole('cell') });
    const cells = await Promise.all((await lines.all()).map((line) => line.getByRole('cell').allInnerTexts()));
    return cells.map((line) => Number(line[1].replace(',', '.'))).sort((a, b) => a - b);
  };
  for (const face of ['Post A1', 'Post A2']) assert.deepEqual(await heights(face), [76, 152, 228, 304], face);
  await go(page, 'link', 'Back', 'Run A');
  await go(page, 'link', 'Back', JOB);
}

/** Parts with their hand and number, as the take-off counts them: each hand apart. */
export async function takeOff(page, parts) {
  await row(page, 'Take-off', 'Take-off');
  const table = page.getByRole('region', { name: 'Take-off', exact: true });
  await table.getByRole('cell').first().waitFor();
  const lines = await table.getByRole('row').filter({ has: page.getByRole('cell') }).all();
  const counted = await Promise.all(lines.map(async (line) => (await line.getByRole('cell').allInnerTexts()).slice(0, 3).map((cell) => cell.split('\n')[0].trim()).filter(Boolean).join(' ')));
  for (const part of parts) assert.ok(counted.includes(part), `${part} in ${counted.join('; ')}`);
  await go(page, 'link', 'Back', JOB);
}

/** What each of a number of wires takes at its two ends. */
export function partsOf(wires) {
  return ['terminal, stud into insert', 'insert', 'lock nut'].flatMap((part) => ['LH', 'RH'].map((hand) => `${part} ${hand} ${wires}`));
}

/** The gauge with its error, under Tools. */
export async function gauge(page) {
  await row(page, 'Tools', 'Tools');
  await touch(page, 'button', 'Add a tool');
  await write(page, 'Name or number', 'G-02');
  await choose(page, 'Kind', 'Tension gauge');
  await write(page, 'Reads from', '300');
  await write(page, 'Reads up to', '2500');
  await write(page, 'Error, plus or minus', '4');
  await write(page, 'Compared with', 'load cell L-1');
  await page.getByLabel('Compared on', { exact: true }).fill('2026-08-18');
  await page.getByLabel('Due again', { exact: true }).fill('2099-08-18');
  await write(page, 'Certificate', 'G-02/2026');
  await touch(page, 'button', 'Keep');
  await named(page.getByRole('list', { name: 'Tools' }), 'button', starts('G-02')).waitFor();
  await go(page, 'link', 'Back', JOB);
}

/** Required from the table, set and passes by the person. */
export async function tensions(page) {
  await go(page, 'link', 'Run A', 'Run A');
  await room(page, 'Tension plan');
  await page.getByRole('heading', { name: 'Decide what to tension to' }).waitFor();
  // All that lacks stands in one list, each with one touch to where it is told.
  const lacks = page.getByRole('list', { name: 'Still to be told' }).getByRole('link');
  await lacks.first().waitFor();
  const told = await lacks.evaluateAll((links) => links.map((a) => [a.querySelector('.name').innerText.replace(/[△\s]+/g, ' ').trim(), a.getAttribute('href')]));
  assert.deepEqual(told.map(([what]) => what), ['Modulus of post A1, or a known pull on it with the rail off', 'Modulus of post A3, or a known pull on it with the rail off']);
  for (const [, href] of told) assert.match(href, /\/run\/\w+\?at=post%3A\w+&tell=material$/);
  assert.equal(await named(page, 'textbox', starts('Required')).inputValue(), '1330');
  await write(page, 'Set', '1500');
  await write(page, 'Upper', '1800');
  await write(page, 'Passes, newtons', '1500');
  await calls(page, 'setTensions', () => touch(page, 'button', 'Keep'));
  await page.getByRole('list', { name: 'Decided' }).getByText('1500 N').first().waitFor();
  await go(page, 'link', 'Back', 'Run A');
}

/** The trial wire is released first, and its cut ticked. What its posts are made of nobody told: that is said yes to. */
export async function trialWire(page) {
  await room(page, 'Cut sheet');
  await calls(page, 'issueCuts', () => touch(page, 'button', 'Release the trial wire 2'));
  await page.getByRole('dialog').getByText(/movement counts as nothing: cuts may come out too long/).waitFor();
  await calls(page, 'issueCuts', () => touch(page.getByRole('dialog'), 'button', 'Release all the same'));
  await stateOfLine(page, '2 ★', 'released');
  await go(page, 'link', 'Back', 'Run A');
  await room(page, 'Ticks');
  await calls(page, 'tickWires', () => touch(page, 'button', 'Cut, wire 2'));
  await page.getByRole('button', { name: 'Cut, wire 2', pressed: true }).waitFor();
  await go(page, 'link', 'Back', 'Run A');
}
