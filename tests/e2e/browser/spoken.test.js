// A note is spoken at a wire's card: kept as a file tied to the wire, played where it stands; thrown away it leaves nothing,
// and closing the card loses nothing.
import assert from 'node:assert/strict';
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import test from 'node:test';
import { folder, serve } from '../lib/host.js';
import { browser, phone, quiet, unexpected } from '../lib/phone.js';
import { pluck, wav } from '../lib/pluck.js';
import { at, calls, named, row, starts, touch } from '../lib/touch.js';
import { open } from '../steps/screens.js';
import { surveyed } from '../steps/surveyed.js';

test('a note is spoken, kept with its wire and played there', { timeout: 90_000 }, async (t) => {
  const said = join(await folder(t, 'said'), 'said.wav');
  await writeFile(said, wav(pluck(1.38, 1240)));
  const host = await serve(t, 'spoken');
  const job = await surveyed(host);
  const [run] = job.runs;
  const wire = run.wires[2].subject;
  const chrome = await browser(t, ['--use-fake-device-for-media-stream', `--use-file-for-fake-audio-capture=${said}`]);
  const { page, wrong } = await phone(chrome, host);
  const documents = async () => (await host.call('readJob', { job: job.job })).documents;
  await open(page, `#/job/${job.job}/run/${run.id}?at=${encodeURIComponent(wire)}`, `Run ${run.name}`);
  const card = page.getByRole('dialog', { name: 'Wire 3', exact: true });
  const seconds = (pattern) => card.getByRole('timer').filter({ hasText: pattern }).waitFor();
  const start = () => touch(card, 'button', 'Speak a note');

  // Not allowed: said in words, nothing kept, and the way to speak is there again.
  await start();
  await page.getByText('The microphone was not allowed.', { exact: false }).waitFor();
  await named(card, 'button', 'Speak a note').waitFor();
  await page.context().grantPermissions(['microphone'], { origin: host.origin });

  await start();
  await seconds(/^0:01,/);
  await touch(card, 'button', 'Throw it away');
  await named(card, 'button', 'Speak a note').waitFor();
  assert.equal((await documents()).length, 0);

  await start();
  await seconds(/^0:02,/);
  await calls(page, 'addDocument', () => touch(card, 'button', 'Stop and keep it'));
  const list = card.getByRole('list', { name: 'Spoken notes' });
  await list.getByText(starts(`Spoken note, Wire 3, Run ${run.name}`)).waitFor();
  const [note, ...more] = await documents();
  assert.deepEqual([more.length, note.shows.map((s) => s.subject)], [0, [wire]]);
  assert.match(note.caption, /\.wav$/);
  await touch(list, 'button', starts('Play: '));
  const sound = list.locator('audio');
  await page.waitForFunction((audio) => audio.duration > 1.5, await sound.elementHandle());
  assert.ok((await sound.evaluate((audio) => audio.duration)) < 20);

  // A card that is closed keeps what was said till then.
  await start();
  await seconds(/^0:01,/);
  await calls(page, 'addDocument', () => touch(card, 'button', 'Close'));
  await quiet(page);
  assert.equal((await documents()).length, 2);
  await calls(page, 'withdraw', () => touch(page, 'button', 'Undo'));
  assert.equal((await documents()).length, 1);

  // What could not be kept waits at its wire, though the card was closed.
  const again = () => row(page, 'Wire 3');
  await again();
  await page.route('**/addDocument*', (route) => route.abort());
  await start();
  await seconds(/^0:02,/);
  await touch(card, 'button', 'Close');
  await page.getByText('The program behind this page does not answer', { exact: false }).waitFor();
  await page.unroute('**/addDocument*');
  await again();
  await start();
  await card.getByText('The note is not kept yet.').waitFor();
  await calls(page, 'addDocument', () => touch(card, 'button', 'Keep it'));
  assert.equal((await documents()).length, 2);

  // Nor does one that is gone with what it was about.
  await open(page, `#/job/${job.job}/tools`, 'Tools');
  await row(page, 'G-02');
  const tool = page.getByRole('dialog', { name: starts('G-02') });
  await touch(tool, 'button', 'Speak a note');
  await tool.getByRole('timer').filter({ hasText: /^0:01,/ }).waitFor();
  await calls(page, 'addDocument', () => touch(tool, 'button', 'Close'));
  await quiet(page);
  assert.match((await documents()).map((d) => d.caption).join(), /Spoken note, G-02/);

  // The office finds and plays it among the documents.
  await open(page, `#/job/${job.job}/documents`, 'Documents');
  await row(page, 'Spoken note, Wire 3');
  const sheet = page.getByRole('dialog', { name: starts('Spoken note, Wire 3') });
  await touch(sheet, 'button', starts('Play: '));
  await page.waitForFunction((audio) => audio.duration > 1.5, await sheet.locator('audio').elementHandle());
  await at(page, 'Documents');
  assert.deepEqual(unexpected(wrong, ['addDocument']), []);
});
