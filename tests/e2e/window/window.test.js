// The real window: on an empty data folder first start, a job, a run, one reading, and the reading after a new start; on a
// surveyed job the drilling template, saved where the person keeps downloads.
import assert from 'node:assert/strict';
import { mkdir, readFile, readdir, writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import test from 'node:test';
import { folder, serve } from '../lib/host.js';
import { driver, openWindow } from '../lib/window.js';
import { surveyed } from '../steps/surveyed.js';

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
  // It opens where it was left.
  await again.shows('Measure');
  await again.row('Bay A1–A2', '1380 mm');
  await again.close();
});

test('the window saves a drilling template where the person keeps downloads', { timeout: 100_000 }, async (t) => {
  const host = await serve(t, 'window-template');
  const { title } = await surveyed(host);
  await host.stop();
  const home = await folder(t, 'home');
  const downloads = join(home, 'Saved things');
  await mkdir(downloads);
  await writeFile(join(home, 'user-dirs.dirs'), `XDG_DOWNLOAD_DIR="${downloads}"\n`);
  const window = await openWindow(await driver(t, { XDG_CONFIG_HOME: home }), host.data);
  await window.follow(title);
  await window.shows(title);
  await window.press('Run A');
  await window.shows('Run A');
  await window.follow('Hole schedule');
  await window.shows('Hole schedule');
  await window.press('Write the template');
  await window.press('Save the PDF');
  await window.says(downloads);
  const [name, ...more] = await readdir(downloads);
  assert.deepEqual(more, []);
  const saved = await readFile(join(downloads, name));
  assert.equal(saved.subarray(0, 5).toString(), '%PDF-');
  assert.ok(saved.equals(await readFile(join(host.data, 'templates', name))), 'byte for byte what was written');
  await window.close();
});
