// Tension by sound and by a hung phone, by touch: the microphone hears a file of plucks, the motion is made
// by formula. What is kept is a guide with its recordings; nothing is ticked by it.
import assert from 'node:assert/strict';
import { mkdtemp, rm, writeFile } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import test from 'node:test';
import { serve } from '../lib/host.js';
import { browser, inTurn, phone, quiet, unexpected } from '../lib/phone.js';
import { motion, pluck, wav } from '../lib/pluck.js';
import { at, calls, choose, named, touch, write } from '../lib/touch.js';
import { surveyed } from '../steps/surveyed.js';

test('a wire is heard and its tension kept as a guide', { timeout: 180_000 }, async (t) => {
  const files = await mkdtemp(join(tmpdir(), 'tautbook-plucks-'));
  t.after(() => rm(files, { recursive: true, force: true }));
  const put = async (name, bytes) => {
    await writeFile(join(files, name), bytes);
    return join(files, name);
  };
  // What the microphone hears again and again: a wire of 1240 N between pinches 1.38 m apart.
  const heard = await put('heard.wav', wav(pluck(1.38, 1240)));
  const host = await serve(t, 'sound');
  const first = await surveyed(host);
  const [run] = first.runs;
  const { job } = first;
  const chrome = await browser(t, ['--use-fake-device-for-media-stream', `--use-file-for-fake-audio-capture=${heard}`]);
  const { page, wrong } = await phone(chrome, host);
  await page.context().grantPermissions(['microphone', 'accelerometer', 'gyroscope'], { origin: host.origin });
  const ask = (command, more = {}) => host.call(command, { job, run: run.id, ...more });
  const step = (name, act) => inTurn(t, name, act, [page]);
  // A figure that is corrected takes the answer off the glass; the recording stays, and is worked out anew.
  const corrected = async (way, label, [wrong, ...right]) => {
    const answer = () => way.getByRole('status').getByText(/^\d+ N$/).innerText();
    const before = await answer();
    const keep = named(way, 'button', 'Keep as a guide');
    const anew = () => calls(page, 'hear', () => touch(way, 'button', 'Work it out anew'));
    await write(way, label, wrong);
    await way.getByText('What was recorded is not worked out with what is said above.').waitFor();
    assert.equal(await keep.count(), 0);
    await anew();
    await keep.waitFor();
    assert.notEqual(await answer(), before);
    for (const text of right) await write(way, label, text);
    assert.equal(await keep.count(), 0);
    await anew();
    await keep.waitFor();
    assert.equal(await answer(), before);
  };
  const missing = async () => (await host.call('lacks', { job })).lacking;
  const lacking = await missing();

  await step('the method is chosen, the span is said once', async () => {
    await page.evaluate((hash) => void (location.hash = hash), `#/job/${job}/run/${run.id}/tension?wire=6`);
    await at(page, 'Tension');
    await choose(page, 'Bay where it is read', 'A2–A3');
    await touch(page, 'button', 'Sound');
    const sound = page.getByRole('region', { name: 'Sound' });
    await sound.getByText('Sound: a guide only; prove with gauge or 2 kg.').waitFor();
    await sound.getByText('Say first: span, how its ends are held.').waitFor();
    await write(sound, 'Span, pinch to pinch', '1380');
    await touch(sound, 'button', 'Loose in the holes');
    await calls(page, 'hear', () => touch(sound, 'button', 'Record pluck 1'));
    await sound.getByText(/lies loose at the span’s ends|lies loose at the span's ends/).first().waitFor();
    await touch(sound, 'button', 'Start over');
    await touch(sound, 'button', 'Pinched');
  });
  await step('three plucks by the microphone tell one number from and to; it is kept with its recordings', async () => {
    const sound = page.getByRole('region', { name: 'Sound' });
    for (const n of [1, 2, 3]) {
      // What was heard before has moved the button: it stands still before it is touched.
      await quiet(page);
      await calls(page, 'hear', () => touch(sound, 'button', `Record pluck ${n}`));
      await sound.getByRole('list', { name: 'Sound' }).getByText(`Pluck ${n}`).waitFor();
    }
    await sound.getByText('a guide only', { exact: false }).first().waitFor();
    await calls(page, 'keepHeard', () => touch(sound, 'button', 'Keep as a guide'));
    await named(page, 'heading', 'Wire 7').waitFor();
    const { lines } = await ask('tensions');
    const [reading] = lines[5].readings;
    assert.equal(reading.method, 'sound');
    assert.ok(Math.abs(reading.newtons / 1240 - 1) < 0.05, `${reading.newtons} N`);
    assert.ok(reading.leastN < 1240 && reading.mostN > 1240);
    assert.deepEqual([reading.counts, reading.state, lines[5].governing], [false, 'open', null]);
    assert.equal(reading.recordings.length, 3);
    const { documents } = await host.call('readJob', { job });
    assert.deepEqual(documents.map((d) => [d.caption, d.files.map((f) => f.sha256)]), [['Sound, A6, A2–A3', reading.recordings]]);
  });
  await step('WAV files stand for the microphone; silence says why and what to do', async () => {
    const sound = page.getByRole('region', { name: 'Sound' });
    const silent = await put('silent.wav', wav(new Float64Array(100_000)));
    await calls(page, 'hear', () => sound.getByLabel('From WAV files').setInputFiles([silent, silent, silent]));
    await sound.getByText('Nothing is heard.').first().waitFor();
    await sound.getByText(/pluck harder/).first().waitFor();
    assert.equal(await named(sound, 'button', 'Keep as a guide').count(), 0);
    // Two doubts of one span stand beside one answer.
    await write(sound, 'Span, pinch to pinch', '1600');
    await sound.locator('summary').filter({ hasText: 'More' }).tap();
    await write(sound, 'Mass of one metre, grams', '100.1');
    const odd = await Promise.all([0.3, 0.4, 0.5].map((from) => put(`odd-${from}.wav`, wav(pluck(1.6, 1240, { at: from })))));
    await calls(page, 'hear', () => sound.getByLabel('From WAV files').setInputFiles(odd));
    await sound.getByText(/2\.00 times the/).first().waitFor();
    await sound.getByText(/longer than bay A2–A3/).first().waitFor();
    await touch(sound, 'button', 'Start over');
    await write(sound, 'Span, pinch to pinch', '1380');
    await write(sound, 'Mass of one metre, grams', '');
    for (const [wire, newtons] of [[7, 1000], [8, 1240]]) {
      await named(page, 'heading', `Wire ${wire}`).waitFor();
      const plucks = await Promise.all([0.3, 0.4, 0.5].map((from) => put(`${wire}-${from}.wav`, wav(pluck(1.38, newtons, { at: from })))));
      await calls(page, 'hear', () => sound.getByLabel('From WAV files').setInputFiles(plucks));
      if (wire === 7) await corrected(sound, 'Span, pinch to pinch', ['1500', '', '1380']);
      await calls(page, 'keepHeard', () => touch(sound, 'button', 'Keep as a guide'));
    }
    // Three in one bay are compared: which is slacker than the middle one.
    const even = page.getByRole('region', { name: 'Even up: Sound, A2–A3' });
    await even.getByText('Slacker than the others: A7.').waitFor();
    await even.getByText('slacker', { exact: true }).waitFor();
  });
  await step('a hung phone: its own sensor, or a motion file; gaps are told', async () => {
    await touch(page, 'button', 'Hung phone');
    const hung = page.getByRole('region', { name: 'Hung phone' });
    await write(hung, 'Phone, clamp and what hangs with them, grams', '200');
    const torn = motion(17.3).split('\n').filter((_, i) => i < 150 || i > 230).join('\n');
    await calls(page, 'hear', async () => hung.getByLabel('From a motion file').setInputFiles(await put('torn.csv', torn)));
    await hung.getByText(/left out/).first().waitFor();
    // Events as the sensor of a phone gives them, for as long as the screen listens.
    await page.evaluate(() => {
      const begun = performance.now();
      const timer = setInterval(() => {
        const t = (performance.now() - begun) / 1000;
        const y = 9.81 + 3 * Math.exp(-t / 3) * Math.sin(2 * Math.PI * 17.3 * t);
        window.dispatchEvent(new DeviceMotionEvent('devicemotion', { accelerationIncludingGravity: { x: 0, y, z: 0 } }));
        if (t > 9) clearInterval(timer);
      }, 8);
    });
    await calls(page, 'hear', () => touch(hung, 'button', 'Record the swing'));
    await corrected(hung, 'Phone, clamp and what hangs with them, grams', ['260', '', '200']);
    await calls(page, 'keepHeard', () => touch(hung, 'button', 'Keep as a guide'));
    const read = (await ask('tensions')).lines.flatMap((l) => l.readings).filter((r) => r.method === 'hungPhone');
    assert.equal(read.length, 1);
    assert.ok(read[0].numbers.some((n) => n.name === 'swings a second' && n.value.startsWith('17.')), JSON.stringify(read[0].numbers));
  });
  await step('nothing is ticked by any of it', async () => {
    assert.equal(await missing(), lacking);
    const { lines, lowest } = await ask('tensions');
    assert.equal(lowest, null);
    assert.ok(lines.every((l) => l.state === 'open' && l.governing === null));
    // The gauge's own round is as it was: no reading in it.
    await touch(page, 'button', 'Gauge');
    await page.getByLabel(/^0 readings against required/).waitFor();
  });
  assert.deepEqual(unexpected(wrong, []), []);
});
