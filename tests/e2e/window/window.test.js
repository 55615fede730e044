// The real window on an empty data folder: first start, a job, a run, one reading, and the reading after a new start.
import assert from 'node:assert/strict';
import test from 'node:test';
import { folder } from '../lib/host.js';
import { driver, openWindow } from '../lib/window.js';

const JOB = 'Deck, Quillback Rise';

test('the window: first start, a job, one reading, read back after a new start', { timeout: 100_000 }, async (t) => {
  const data = await folder(t, 'window');
  const address = await driver(t);
  const window = await openWindow(address, data);
  await window.shows('Jobs');
  await window.type('Your name', 'Ann');
  await window.type('Name of your crew', 'Ann and Ben');
  await window.press('Begin');
  await window.follow('New job');
  await window.shows('New job');
  await window.type('Title', JOB);
  await window.type('Address', '14 Quillback Rise, Port Hesper');
  await window.choose('Rule set', 'Australia: housing barriers, 2022');
  await window.press('Begin the job');
  await window.shows(JOB);

  await window.press('New run');
  await window.shows('New run');
  for (const [label, value] of [
    ['Run', 'A'], ['End posts, width', '115'], ['Posts between, width', '90'], ['End posts, depth', '115'], ['Posts between, depth', '90'], ['Bays from the left, clear', '1380; 1410'],
    ['Number of wires', '4'], ['Bottom wire above the floor', '76'], ['Wire to wire, centres', '76']
  ]) {
    await window.type(label, value);
  }
  await window.choose('Level or raked', 'Level');
  await window.choose('Kind of end', 'Stud into insert');
  await window.choose('Tensioned at', 'Both ends');
  await window.press('Keep the run');
  await window.shows('Run A');

  await window.follow('Measure');
  await window.shows('Measure');
  await window.press('Tape');
  for (const digit of '1380') await window.press(digit);
  await window.follow('Keep');
  await window.row('Bay A1–A2', '1380 mm');
  const sight = Buffer.from(await window.sight(), 'base64');
  assert.ok(sight.length > 10_000, 'the window has a sight');
  await window.close();

  const again = await openWindow(address, data);
  await again.follow(JOB);
  await again.shows(JOB);
  await again.press('Run A');
  await again.shows('Run A');
  await again.row('Bay A1–A2', '1380 mm');
  await again.close();
});
