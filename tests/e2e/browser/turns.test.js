// Turns and flats of both ends, by touch: logged as they were asked with one touch, taken back within five seconds, told
// otherwise by end; and a trial wire that does not fit at all. Read back through the list of commands.
import assert from 'node:assert/strict';
import test from 'node:test';
import { serve } from '../lib/host.js';
import { browser, phone, quiet, unexpected } from '../lib/phone.js';
import { calls, choose, named, pad, starts, touch, write } from '../lib/touch.js';
import { decided, stands } from '../steps/ready.js';
import { open } from '../steps/screens.js';
import { surveyed } from '../steps/surveyed.js';

test('turns and flats of both ends are one touch, and undone with one', { timeout: 90_000 }, async (t) => {
  const host = await serve(t, 'turns');
  const { job, runs: [run] } = await surveyed(host);
  await decided(host, job, run);
  const { page, wrong } = await phone(await browser(t), host);
  const ends = [run.posts[0].id, run.posts.at(-1).id];
  const logged = async (wire) => {
    const words = await Promise.all(ends.map((end) => stands(host, job, `wire:${run.id}:${wire}`, 'turns', end)));
    return words.map((list) => list.filter((w) => w.value !== null).map((w) => [w.value.turns, w.value.flats, w.with.toMn]));
  };
  const planned = async (wire) => (await host.call('tensioning', { job, run: run.id })).wires[wire - 1];
  await open(page, `#/job/${job}/run/${run.id}/tension?wire=1`, 'Tension');
  const { turn } = (await planned(1)).to[0];
  const told = `${turn.turns} turns ${turn.flats} flats`;
  // One touch, before gauge, bay and temperature are told: the budget is three.
  const button = named(page, 'button', `Turned so: ${told}, Wire 1`);
  await button.waitFor();
  await calls(page, 'turnWire', () => button.tap());
  await page.getByText(`✓ turned ${told} at both ends`, { exact: true }).waitFor();
  assert.deepEqual(await logged(1), [[[turn.turns, turn.flats, 600_000]], [[turn.turns, turn.flats, 600_000]]]);
  assert.equal(await button.count(), 0, 'what is turned is not offered twice');

  // Undo takes both ends back, and the target is asked for again.
  await touch(page, 'button', 'Undo');
  await button.waitFor();
  await quiet(page);
  assert.deepEqual(await logged(1), [[], []]);
  assert.equal((await planned(1)).turned, null);

  // Twice in a row is once.
  await button.dblclick();
  await page.getByText(`✓ turned ${told} at both ends`, { exact: true }).waitFor();
  await quiet(page);
  assert.deepEqual((await logged(1)).map((end) => end.length), [1, 1]);

  // Otherwise: by end.
  await touch(page.getByRole('group', { name: 'Read a wire again' }), 'button', 'Wire 12');
  await touch(page, 'button', 'Turned otherwise, Wire 12');
  for (const [label, text] of [['Turns at A1', '2'], ['Flats at A1', '1'], ['Turns at A6', '1'], ['Flats at A6', '5']]) await write(page, label, text);
  await calls(page, 'turnWire', () => touch(page, 'button', 'Keep'));
  await page.getByText('✓ turned 2 turns 1 flat at A1, 1 turn 5 flats at A6', { exact: true }).waitFor();
  assert.deepEqual(await logged(12), [[[2, 1, 600_000]], [[1, 5, 600_000]]]);
  // More of it is added up until the wire is read.
  await touch(page, 'button', 'Turned more, Wire 12');
  for (const end of ['A1', 'A6']) await write(page, `Flats at ${end}`, '6');
  await calls(page, 'turnWire', () => touch(page, 'button', 'Keep'));
  await page.getByText('✓ turned 3 turns 1 flat at A1, 2 turns 5 flats at A6', { exact: true }).waitFor();

  // A reading ends it.
  await choose(page, 'Tension gauge', 'G-02');
  await choose(page, 'Bay where it is read', 'A2–A3');
  await write(page, 'Air', '24');
  await page.getByRole('heading', { name: 'Wire 12', exact: true }).waitFor();
  // By the record it is not cut: that is asked about once.
  const asked = await calls(page, 'readTension', () => pad(page, '600', /^Keep/));
  assert.equal(asked.ok(), false);
  await page.getByRole('alert').filter({ hasText: 'Wire A12 is not ticked as cut' }).waitFor();
  await calls(page, 'readTension', () => touch(page, 'button', 'Keep 600 N'));
  assert.equal((await planned(12)).turned, null);
  assert.notEqual((await planned(1)).turned, null, 'the other wire is still to be read');
  assert.deepEqual(unexpected(wrong, ['readTension']), []);
});

test('a trial wire that does not fit: too long by, then too short by', { timeout: 90_000 }, async (t) => {
  const host = await serve(t, 'out-by');
  const { job, runs: [run] } = await surveyed(host);
  await decided(host, job, run);
  await host.call('issueCuts', { job, run: run.id, wires: '6' });
  for (const act of ['cut', 'leftEndPressed', 'rightEndPressed']) await host.call('tickWires', { job, run: run.id, wires: '6', act, done: true, confirmed: true });
  const { page, wrong } = await phone(await browser(t), host);
  const outBy = async () => (await stands(host, job, `wire:${run.id}:6`, 'outBy')).map((w) => w.value.nm / 1e6);
  const learned = () => host.call('learned', { job, run: run.id });
  await open(page, `#/job/${job}/run/${run.id}/cuts`, 'Cut sheet');
  const read = page.getByRole('region', { name: 'Read wire 6 at its tension' });
  const form = read.locator('details').filter({ hasText: 'It does not fit at all' });
  const says = async (way, by) => {
    if (!(await named(form, 'combobox', starts('The wire is')).isVisible())) await form.locator('summary').tap();
    await choose(form, 'The wire is', way);
    await write(form, 'by, in all', by);
    await calls(page, 'readOutBy', () => touch(form, 'button', 'Keep the reading'));
  };
  // More than the thread of both ends is asked about, and nothing is kept before a yes.
  await says('Too long', '999');
  await form.getByRole('alert').filter({ hasText: 'more than the 60 mm of thread' }).waitFor();
  assert.deepEqual(await outBy(), []);

  await says('Too long', '9');
  const teaches = page.getByRole('region', { name: 'What the trial wire teaches' });
  await teaches.waitFor();
  assert.deepEqual(await outBy(), [9]);
  const first = await learned();
  assert.equal(first.readings[0].readAs, 'too long by 9 mm');
  await teaches.getByText(first.taught.sentence).waitFor();
  // So far from what was expected that it is questioned: the reading is asked for again, beside the question.
  await teaches.getByText(first.taught.questions[0]).waitFor();

  await says('Too short', '2.5');
  await quiet(page);
  const again = await learned();
  assert.equal(again.readings.at(-1).readAs, 'too short by 2.5 mm');
  await page.getByText(again.taught.sentence).waitFor();
  assert.ok((await outBy()).includes(-2.5));
  assert.ok(again.readings.length === 1, 'the later reading of the same wire takes the earlier one’s place');
  for (const { another } of [first, again]) {
    if (/narrow the spread/.test(another?.why ?? '')) assert.ok(another.spreadThenMm < another.spreadNowMm, another.why);
  }
  assert.deepEqual(unexpected(wrong, ['readOutBy']), []);
});

test('flats that were stepped stand at their wire, whatever wire was looked at between, until they are logged', { timeout: 90_000 }, async (t) => {
  const host = await serve(t, 'steps');
  const { job, runs: [run] } = await surveyed(host);
  await decided(host, job, run);
  const { page, wrong } = await phone(await browser(t), host);
  const so = (wire) => page.getByRole('button', { name: new RegExp(`^Turned so: .*, Wire ${wire}$`) });
  const told = async (wire) => (await so(wire).getAttribute('aria-label')) ?? (await so(wire).innerText());
  const other = (wire) => touch(page.getByRole('group', { name: 'Read a wire again' }), 'button', `Wire ${wire}`);
  await open(page, `#/job/${job}/run/${run.id}/tension?wire=1`, 'Tension');
  await so(1).waitFor();
  const asked = await told(1);
  await touch(page, 'button', 'One flat more at A1');
  await page.waitForFunction((plain) => !document.querySelector(`[aria-label="${plain}"]`), asked);
  const stepped = await told(1);
  assert.notEqual(stepped, asked);
  await other(2);
  await so(2).waitFor();
  const second = await told(2);
  await touch(page, 'button', 'One flat less at A6');
  await page.waitForFunction((plain) => !document.querySelector(`[aria-label="${plain}"]`), second);
  await other(1);
  await so(1).waitFor();
  assert.equal(await told(1), stepped);
  // Stepped before and not logged: that is told beside.
  await page.getByText('Flats from before, not logged yet.', { exact: true }).waitFor();
  await calls(page, 'turnWire', () => so(1).tap());
  await quiet(page);
  const ends = [run.posts[0].id, run.posts.at(-1).id];
  const [first, last] = await Promise.all(ends.map((end) => stands(host, job, `wire:${run.id}:1`, 'turns', end)));
  const flats = (list) => list.map((w) => w.value.turns * 6 + w.value.flats);
  assert.deepEqual(flats(first), [flats(last)[0] + 1]);
  // Taken back, what is asked stands there again without the step.
  await touch(page, 'button', 'Undo');
  await so(1).waitFor();
  assert.equal(await told(1), asked);
  assert.deepEqual(unexpected(wrong), []);
});

test('a wire that is picked while another is being kept stays picked', { timeout: 90_000 }, async (t) => {
  const host = await serve(t, 'picked');
  const { job, runs: [run] } = await surveyed(host);
  await decided(host, job, run);
  await host.call('tickWires', { job, run: run.id, wires: '1-12', act: 'fitted', done: true, confirmed: true });
  const { page } = await phone(await browser(t), host);
  await open(page, `#/job/${job}/run/${run.id}/tension?wire=1`, 'Tension');
  await choose(page, 'Tension gauge', 'G-02');
  await choose(page, 'Bay where it is read', 'A2–A3');
  await write(page, 'Air', '24');
  await page.getByRole('heading', { name: 'Wire 1', exact: true }).waitFor();
  let letGo;
  const held = new Promise((done) => (letGo = done));
  await page.route('**/api/readTension', async (route) => {
    await held;
    await route.continue();
  });
  const kept = page.waitForResponse((r) => r.url().endsWith('/api/readTension'));
  await pad(page, '600', /^Keep/);
  await touch(page.getByRole('group', { name: 'Read a wire again' }), 'button', 'Wire 5');
  await page.getByRole('heading', { name: 'Wire 5', exact: true }).waitFor();
  letGo();
  assert.equal((await kept).status(), 200);
  await page.getByText('Wire 1: 600').waitFor();
  await quiet(page);
  assert.equal(await page.getByRole('heading', { name: 'Wire 5', exact: true }).count(), 1);
});
