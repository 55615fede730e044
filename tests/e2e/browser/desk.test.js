// At a desk, by keys: the main act, the list of jobs, and a table that is copied as it stands.
import assert from 'node:assert/strict';
import test from 'node:test';
import { folder, serve } from '../lib/host.js';
import { browser, phone, unexpected } from '../lib/phone.js';
import { at, choose, go, named, touch } from '../lib/touch.js';
import { exchange, joined } from '../steps/met.js';
import { decided } from '../steps/ready.js';
import { open } from '../steps/screens.js';
import { surveyed } from '../steps/surveyed.js';

const DESK = { viewport: { width: 1440, height: 900 }, isMobile: false, hasTouch: true, deviceScaleFactor: 1 };

test('jobs are found, ordered and reached by keys', { timeout: 60_000 }, async (t) => {
  const host = await serve(t, 'desk');
  const job = await surveyed(host);
  for (const [title, place] of [['Balcony 10', 'Bay Road'], ['Balcony 2', 'Alder Lane']]) await host.call('beginJob', { title, place });
  const { page, wrong } = await phone(await browser(t), host, DESK);
  await open(page, '#/', 'Jobs');
  const list = page.getByRole('list', { name: 'Jobs', exact: true });
  const order = async () => (await list.getByRole('listitem').locator('.name').allInnerTexts()).map((text) => text.replace(/^\W+/, '').trim());
  const three = (await order()).toSorted();
  assert.deepEqual(three, ['Balcony 10', 'Balcony 2', job.title]);
  await choose(page, 'Sort by', 'Title');
  assert.deepEqual(await order(), ['Balcony 2', 'Balcony 10', job.title]);
  await choose(page, 'Sort by', 'Address');
  assert.deepEqual((await order())[1], 'Balcony 2');

  // The first key of the page leads to what is done here; the next one does it.
  await page.evaluate(() => document.activeElement.blur());
  await page.keyboard.press('Tab');
  const skip = named(page, 'button', 'To the main act');
  assert.ok(await skip.evaluate((it) => it === document.activeElement && it.getBoundingClientRect().height >= 47.5), 'it is seen once it has the focus');
  await page.keyboard.press('Enter');
  assert.ok(await named(page, 'link', 'New job').evaluate((it) => it === document.activeElement));

  await page.keyboard.press('/');
  const find = named(page, 'textbox', 'Find');
  assert.ok(await find.evaluate((it) => it === document.activeElement));
  await page.keyboard.type('lane 2/');
  assert.equal(await find.inputValue(), 'lane 2/', 'within a field it is a letter');
  await page.getByText('No job is like that.').waitFor();
  await page.keyboard.press('Backspace');
  await named(list, 'link', /Balcony 2/).waitFor();
  assert.deepEqual(await order(), ['Balcony 2']);
  await named(list, 'link', /Balcony 2/).focus();
  await page.keyboard.press('Enter');
  await at(page, 'Balcony 2');
  assert.deepEqual(unexpected(wrong), []);
});

test('jobs are one person’s by keys, until the next start', { timeout: 120_000 }, async (t) => {
  const [ann, ben] = [await serve(t, 'whose-ann'), await serve(t, 'whose-ben')];
  const job = await surveyed(ann);
  await joined(ann, ben, await folder(t, 'whose'));
  for (const [title, place] of [['Balcony 10', 'Bay Road'], ['Balcony 2', 'Alder Lane']]) await ben.call('beginJob', { title, place });
  for (const one of [ben, ann]) await exchange(one);
  // Where one was and wrote nothing: a visit tells it in words.
  await ann.call('addThing', { job: job.job, thing: 'visit', fields: [{ field: 'day', value: '2026-10-06' }, { field: 'who', value: 'Ann, ben and the owner' }], confirmed: true });
  const { page, wrong } = await phone(await browser(t), ann, DESK);
  await open(page, '#/', 'Jobs');
  const list = page.getByRole('list', { name: 'Jobs', exact: true });
  const order = async () => (await list.getByRole('listitem').locator('.name').allInnerTexts()).map((text) => text.replace(/^\W+/, '').trim()).toSorted();
  const whose = named(page, 'combobox', 'Whose jobs');
  assert.deepEqual(await whose.locator('option').allInnerTexts(), ['Everybody’s', 'Ann', 'Ben']);
  assert.equal((await order()).length, 3);
  await named(page, 'textbox', 'Find').focus();
  await page.keyboard.press('Tab');
  assert.ok(await whose.evaluate((it) => it === document.activeElement));
  await page.keyboard.press('ArrowDown');
  assert.equal(await whose.inputValue(), 'Ann');
  assert.deepEqual(await order(), [job.title]);
  await page.keyboard.press('ArrowDown');
  assert.deepEqual(await order(), ['Balcony 10', 'Balcony 2', job.title].toSorted());
  // Beside the other filters.
  await page.keyboard.press('Shift+Tab');
  await page.keyboard.type('lane');
  await named(list, 'link', /Deck/).waitFor({ state: 'detached' });
  assert.deepEqual(await order(), ['Balcony 2']);
  // Who goes into a job and back finds the list as it was left; a new start shows all.
  await touch(list, 'link', /^Balcony 2/);
  await at(page, 'Balcony 2');
  await go(page, 'link', 'Back', 'Jobs');
  await named(list, 'link', /^Balcony 2/).waitFor();
  assert.deepEqual([await order(), await whose.inputValue()], [['Balcony 2'], 'Ben']);
  await page.reload();
  await named(list, 'link', /Deck/).waitFor();
  assert.equal((await order()).length, 3);
  assert.deepEqual(unexpected(wrong), []);
});

test('a table sorts by its figures and is copied as it stands', { timeout: 60_000 }, async (t) => {
  const host = await serve(t, 'table');
  const job = await surveyed(host);
  await decided(host, job.job, job.runs[0]);
  const { page, wrong } = await phone(await browser(t), host, { ...DESK, permissions: ['clipboard-read', 'clipboard-write'] });
  await open(page, '#/device', 'This device');
  await touch(page, 'button', 'Inches and sixteenths');
  await open(page, `#/job/${job.job}/takeoff`, 'Take-off');
  const table = page.getByRole('region', { name: 'Take-off', exact: true });
  const column = (n) => table.locator(`tbody tr td:nth-child(${n})`).allInnerTexts();
  await named(table, 'button', 'Needed').or(named(table, 'button', 'Order')).first().tap();
  const totals = (await column(3)).map((text) => Number.parseFloat(text));
  assert.deepEqual(totals, totals.toSorted((a, b) => a - b));
  await touch(page, 'button', 'Copy the table: Take-off');
  await page.getByText(`${totals.length} rows copied`).waitFor();
  const copied = (await page.evaluate(() => navigator.clipboard.readText())).replaceAll('\r\n', '\n');
  const lines = copied.trimEnd().split('\n').map((line) => line.split('\t'));
  assert.equal(lines.length, totals.length + 1);
  assert.deepEqual(lines.slice(1).map((cells) => Number.parseFloat(cells[2])), totals);
  assert.ok(lines.every((cells) => cells.length === lines[0].length));
  assert.doesNotMatch(copied, /[\u200b\u00a0]/);

  await open(page, `#/job/${job.job}/run/${job.runs[0].id}/holes`, 'Hole schedule');
  const holes = page.getByRole('region').filter({ has: page.locator('table') }).first();
  await named(holes, 'button', /^Height/).tap();
  const inches = (await holes.locator('tbody tr td:nth-child(2)').allInnerTexts()).map((text) => {
    const [, whole = 0, top = 0, under = 1] = /^(\d+)?(?:\s?(\d+)\/(\d+))?$/.exec(text.trim());
    return Number(whole ?? 0) + Number(top ?? 0) / Number(under ?? 1);
  });
  assert.ok(inches.some((inch) => !Number.isInteger(inch)));
  assert.deepEqual(inches, inches.toSorted((a, b) => a - b));
  assert.deepEqual(unexpected(wrong), []);
});
