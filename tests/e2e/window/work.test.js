// The real window at work on a surveyed job: a picture from a file, a tension typed on the keyboard and read back after a new
// start, and a word that two people differ on, brought by a shared folder and settled.
import assert from 'node:assert/strict';
import { join } from 'node:path';
import test from 'node:test';
import { folder, root, serve, serveAgain } from '../lib/host.js';
import { driver, openWindow } from '../lib/window.js';
import { exchange, joined } from '../steps/met.js';
import { made } from '../steps/onsite.js';
import { decided, stands } from '../steps/ready.js';
import { surveyed } from '../steps/surveyed.js';

const ENTER = '\uE007';

/** The window stands on run A of a job. */
async function onRun(window, title) {
  await window.follow(title);
  await window.shows(title);
  await window.press('Run A');
  await window.shows('Run A');
}

test('a picture is chosen by file at a post’s card, and stands on it', { timeout: 100_000 }, async (t) => {
  const host = await serve(t, 'window-picture');
  const { title, job, runs: [run] } = await surveyed(host);
  await host.stop();
  const window = await openWindow(await driver(t), host.data);
  await onRun(window, title);
  await window.follow('Post A2');
  const card = window.card('Post A2');
  await card.press('Picture');
  await card.type('Caption', 'Joint over the post');
  await card.give('From a file', join(root, 'fixtures/photos/orientation-6.jpg'));
  // 480 wide and 640 high as it was taken, lying on its side: it is shown upright.
  assert.deepEqual(await card.picture('Joint over the post'), [320, 240]);
  await window.close();

  const again = await serveAgain(host.data);
  t.after(() => again.stop());
  const { photos } = await again.call('readJob', { job });
  const post = run.posts.find((p) => p.name === 'A2');
  assert.deepEqual(photos.map((p) => [p.caption, p.shows.map((s) => s.subject)]), [['Joint over the post', [post.subject]]]);
});

test('a tension is typed on the keyboard and kept, and read back after a new start', { timeout: 100_000 }, async (t) => {
  const host = await serve(t, 'window-tension');
  const { title, job, runs: [run] } = await surveyed(host);
  await decided(host, job, run);
  // One wire is fitted: the trial wire.
  await made({ host, job, run }, []);
  await host.stop();
  const address = await driver(t);
  const window = await openWindow(address, host.data);
  await onRun(window, title);
  await window.follow('Readings pass by pass, and the recheck');
  await window.shows('Tension');
  await window.choose('Tension gauge', 'G-02');
  await window.choose('Bay where it is read', 'A2–A3');
  await window.type('Air', '24');
  await window.press('Wire 6');
  await window.keys('585');
  await window.keys(ENTER);
  await window.says('Wire 6: 585 N');
  await window.close();

  const again = await openWindow(address, host.data);
  // It opens where it was left.
  await again.shows('Tension');
  await again.press('Back');
  await again.shows('Run A');
  await again.follow('Wire 6');
  await again.card('Wire 6').says('585 N');
  await again.close();
});

test('what another device said otherwise comes by the shared folder and is settled', { timeout: 100_000 }, async (t) => {
  const shared = await folder(t, 'shared');
  const ann = await serve(t, 'window-ann');
  const ben = await serve(t, 'window-ben');
  const { title, job, runs: [run] } = await surveyed(ann);
  const { subject } = run.posts.find((post) => post.name === 'A2');
  await joined(ann, ben, shared);
  for (const [host, name] of [[ann, 'Spotted gum'], [ben, 'Ironbark']]) {
    await host.call('say', { job, claims: [{ subject, field: 'material', value: { name } }], confirmed: true });
  }
  await exchange(ben);
  await ann.stop();

  const window = await openWindow(await driver(t), ann.data);
  await window.follow('Exchange:');
  await window.shows('Exchange');
  await window.press('Exchange now');
  await window.says('1 dispute came:');
  await window.press(`${title}: Post A2`);
  const card = window.card('Post A2');
  await card.follow('Material');
  const sheet = window.card('Material');
  await sheet.says('Spotted gum');
  await sheet.says('Ironbark');
  await sheet.press('Take Ben’s');
  await window.card('Take Ben’s').press('Looked at again together');
  await sheet.gone();
  await card.says('Ironbark');
  await window.close();

  const again = await serveAgain(ann.data);
  t.after(() => again.stop());
  const words = await stands(again, job, subject, 'material');
  assert.deepEqual(words.map((word) => word.value.name), ['Ironbark']);
});
