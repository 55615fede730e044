// The crew's acts by touch, each within its budget of taps: the finger's own contacts with the glass are counted, from
// where the crew stands when the act comes, and what the record then holds is read back through the list of commands.
import assert from 'node:assert/strict';
import { join } from 'node:path';
import test from 'node:test';
import { root } from '../lib/host.js';
import { phone, quiet, touched, unexpected } from '../lib/phone.js';
import { at, calls, choose, named, pad, starts, touch, write } from '../lib/touch.js';
import { made, onSite, PRESSED, within } from '../steps/onsite.js';
import { open } from '../steps/screens.js';
import { FOR_CUTTING, sayFirst } from '../steps/survey.js';

const PHOTO = join(root, 'fixtures/photos/orientation-1.jpg');
/** Touches a way to take a picture; the system's own chooser is answered. */
async function taken(page, scope, way) {
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), scope.getByText(way, { exact: true }).tap()]);
  await calls(page, 'addPhoto', () => chooser.setFiles(PHOTO));
}

test('open at the last wire: no tap', { timeout: 90_000 }, async (t) => {
  const site = await onSite(t, 'taps-open');
  const { host, chrome, run } = site;
  let { page } = site;
  const left = async (act) => {
    const written = page.waitForResponse((r) => r.url().endsWith('/api/keep') && r.request().postDataJSON()?.name === 'ui:place' && r.request().postDataJSON()?.value.includes('7'));
    await act();
    assert.equal((await written).status(), 200);
    await page.context().close();
    ({ page } = await phone(chrome, host));
  };
  await open(page, `${site.in}/tension`, 'Tension');
  await left(() => touch(page.getByRole('group', { name: 'Read a wire again' }), 'button', 'Wire 7'));
  await at(page, 'Tension');
  await named(page, 'heading', 'Wire 7').waitFor();
  assert.equal(await touched(page), 0);

  await open(page, `${site.in}/measure`, 'Measure');
  await left(() => open(page, `${site.in}/measure?wire=7`, 'Measure'));
  await at(page, 'Measure');
  await named(page, 'heading', 'Wire 7').waitFor();
  assert.equal(await touched(page), 0);

  await open(page, site.in, `Run ${run.name}`);
  await left(() => named(page.getByRole('list', { name: 'Wires', exact: true }), 'button', starts('Wire 7 ')).tap());
  await page.getByRole('dialog', { name: 'Wire 7', exact: true }).waitFor();
  assert.equal(await touched(page), 0);
  // The count is no idle one: the next touch is counted.
  await touch(page.getByRole('dialog', { name: 'Wire 7', exact: true }), 'button', 'Close');
  assert.equal(await touched(page), 1);
});

test('measure a wire 3 to 5, turns and flats of both ends 3, a tension reading 4 to 5', { timeout: 120_000 }, async (t) => {
  const site = await onSite(t, 'taps-read');
  const { host, job, run, page, wrong, of } = site;
  await made(site, ['cut', ...PRESSED, 'fitted']);

  await open(page, `${site.in}/measure?wire=2`, 'Measure');
  await sayFirst(page, [...FOR_CUTTING, ['With', 'Tape']]);
  const lengths = async (n) => (await of(site.wire(n), 'length')).map((w) => w.value.nm / 1e6);
  // Between wires on both sides of a round hundred, then below two that share more digits, then with a half.
  for (const [n, rest, whole] of [[2, ['2', '9', '7'], 7297], [8, ['0', '2'], 7302], [9, ['0', '3', 'Point', '5'], 7303.5]]) {
    await open(page, `${site.in}/measure?wire=${n}`, 'Measure');
    await named(page, 'heading', `Wire ${n}`).waitFor();
    await within(page, 5, `measure wire ${n}`, () => calls(page, 'measure', async () => {
      const keys = page.getByRole('group', { name: 'Number pad' });
      for (const key of rest) await touch(keys, 'button', key);
      await touch(keys, 'button', /^Keep/);
    }), async () => assert.ok((await lengths(n)).includes(whole), `${whole} of ${await lengths(n)}`));
  }

  await open(page, `${site.in}/tension?wire=1`, 'Tension');
  await choose(page, 'Tension gauge', 'G-02');
  await choose(page, 'Bay where it is read', 'A2–A3');
  await write(page, 'Air', '24');
  await named(page, 'heading', 'Wire 1').waitFor();
  const ends = [run.posts[0].id, run.posts.at(-1).id];
  const turnings = async (n) => (await Promise.all(ends.map((end) => of(site.wire(n), 'turns', end)))).map((list) => list.filter((w) => w.value !== null).map((w) => w.value.turns * 6 + w.value.flats));
  const asked = async (n) => {
    const { turn } = (await host.call('tensioning', { job, run: run.id })).wires[n - 1].to[0];
    return turn.turns * 6 + turn.flats;
  };
  const pick = async (n) => {
    await touch(page.getByRole('group', { name: 'Read a wire again' }), 'button', `Wire ${n}`);
    await named(page, 'heading', `Wire ${n}`).waitFor();
  };
  // As asked; a flat more at one end; a flat less at one and one more at the other; two flats less at one.
  const otherwise = [[1, []], [2, ['One flat more at A1']], [3, ['One flat less at A1', 'One flat more at A6']], [4, ['One flat less at A6', 'One flat less at A6']]];
  const of_ = (steps, end) => steps.filter((s) => s.endsWith(end)).reduce((sum, s) => sum + (s.includes('more') ? 1 : -1), 0);
  for (const [n, steps] of otherwise) {
    await pick(n);
    const flats = await asked(n);
    await within(page, 3, `turns and flats of wire ${n}, ${steps.join(', ') || 'as asked'}`, async () => {
      for (const step of steps) await touch(page, 'button', step);
      await calls(page, 'turnWire', () => touch(page, 'button', /^Turned so: /));
    }, async () => assert.deepEqual(await turnings(n), [[flats + of_(steps, 'A1')], [flats + of_(steps, 'A6')]]));
  }

  const readings = async (n) => (await of(site.wire(n), 'tension')).map((w) => w.value.mn / 1000);
  // Two digits behind the hundreds of the pass's tension, then a number beside them.
  for (const [n, digits, whole] of [[1, '04', 604], [2, '580', 580]]) {
    await pick(n);
    await within(page, 5, `read wire ${n}`, () => calls(page, 'readTension', () => pad(page, digits, /^Keep/)), async () => assert.deepEqual(await readings(n), [whole]));
  }
  // The same in the last round, where all four digits may be typed.
  await open(page, `${site.in}/tension?stage=final&wire=3`, 'Tension');
  await write(page, 'Air', '24');
  for (const [n, digits, whole] of [[3, '20', 1520], [4, '1490', 1490]]) {
    await pick(n);
    await within(page, 5, `read wire ${n}`, () => calls(page, 'readTension', () => pad(page, digits, /^Keep/)), async () => assert.deepEqual(await readings(n), [whole]));
  }
  assert.deepEqual(unexpected(wrong), []);
});

test('cut done 1, a whole run 3, crimps of a wire good 1, a reject 3 and a picture', { timeout: 120_000 }, async (t) => {
  const site = await onSite(t, 'taps-crimps');
  const { host, job, run, page, wrong, of } = site;
  await made(site, []);
  const cut = async () => {
    const now = await host.call('readJob', { job });
    return Promise.all(now.runs[0].wires.map(async (w) => (await of(w.subject, 'cut')).length > 0));
  };
  await open(page, `${site.in}/work?act=cut`, 'Ticks');
  await within(page, 1, 'cut done', () => calls(page, 'tickWires', () => touch(page, 'button', 'Cut, wire 4')), async () => assert.deepEqual((await cut()).map((c, i) => c && i + 1).filter(Boolean), [4, 6]));
  // From the act before on the same screen.
  await touch(page.getByRole('group', { name: 'Act', exact: true }), 'button', 'Threaded');
  await within(page, 3, 'a whole run cut', async () => {
    await touch(page.getByRole('group', { name: 'Act', exact: true }), 'button', 'Cut');
    await calls(page, 'tickWires', () => touch(page, 'button', 'Cut: all 10 that are left, wires 1–3, 5, 7–12'));
  }, async () => assert.ok((await cut()).every(Boolean)));

  for (const act of PRESSED) await host.call('tickWires', { job, run: run.id, wires: '1-5,7-12', act, done: true, confirmed: true });
  // The day's sample, to which its crimps refer.
  const size = { firstNm: 6_300_000, secondNm: 6_320_000 };
  await host.call('addSampleCrimp', { job, sample: { pullMn: 3_700_000, heldS: 60, markMovedNm: 0, result: 'good', left: size, right: size } });
  const [left, right] = [run.posts[0], run.posts.at(-1)];
  const crimps = async (n) => (await Promise.all([left, right].map((post) => of(site.wire(n), 'crimp', post.id)))).map((list) => list.filter((w) => w.value !== null).map((w) => [w.value.result, w.value.reason].filter(Boolean).join(': ')));
  const card = async (n) => {
    await open(page, `${site.in}?at=${encodeURIComponent(site.wire(n))}`, `Run ${run.name}`);
    return page.getByRole('dialog', { name: `Wire ${n}`, exact: true });
  };
  const two = await card(2);
  await within(page, 1, 'crimps of a wire good', async () => {
    await touch(two, 'button', 'Both crimps good');
    await two.getByText(/crimp good/).nth(1).waitFor();
  }, async () => assert.deepEqual(await crimps(2), [['good'], ['good']]));
  assert.equal(await named(two, 'button', 'Both crimps good').count(), 0, 'what is looked at is not offered twice');
  // One touch takes both back.
  await touch(page, 'button', 'Undo');
  await named(two, 'button', 'Both crimps good').waitFor();
  await quiet(page);
  assert.deepEqual(await crimps(2), [[], []]);
  // Twice in a row is once: wet gloves do that, and one touch takes it back all the same.
  await named(two, 'button', 'Both crimps good').evaluate((button) => {
    button.click();
    button.click();
  });
  await two.getByText(/crimp good/).nth(1).waitFor();
  await quiet(page);
  assert.deepEqual(await crimps(2), [['good'], ['good']]);
  await touch(page, 'button', 'Undo');
  await named(two, 'button', 'Both crimps good').waitFor();
  await quiet(page);
  assert.deepEqual(await crimps(2), [[], []]);
  // By keyboard the next one goes on from there: what was touched keeps the focus.
  const good = named(two, 'button', `Crimp good, end at post ${left.name}`);
  await good.focus();
  await calls(page, 'checkCrimps', () => page.keyboard.press('Enter'));
  await two.getByText(/crimp good/).waitFor();
  assert.equal(await good.evaluate((button) => document.activeElement === button), true);

  const three = await card(3);
  await within(page, 3, 'a reject', async () => {
    await touch(three, 'button', `Reject, end at post ${right.name}`);
    const why = page.getByRole('dialog', { name: `Wire A3, end at post ${right.name}: reject`, exact: true });
    await touch(why, 'button', 'Oval or cracked');
    await calls(page, 'checkCrimps', () => touch(why, 'button', `Reject the end at post ${right.name} of wire A3`));
  }, async () => assert.deepEqual(await crimps(3), [[], ['reject: Oval or cracked']]));
  await within(page, 2, 'a picture of the reject', async () => {
    await touch(three, 'button', 'Picture');
    await taken(page, three, 'Camera');
  }, async () => assert.deepEqual((await host.call('readJob', { job })).photos.flatMap((p) => p.shows.map((s) => s.subject)), [site.wire(3)]));

  // A whole run at one end: one touch of the round's screen.
  await open(page, `${site.in}/work?act=leftEndPressed`, 'Ticks');
  await within(page, 3, 'crimps of a run good', () => calls(page, 'checkCrimps', () => touch(page, 'button', /^Crimps of \d+ wires, all good$/)), async () => {
    for (const { number } of run.wires) assert.deepEqual((await crimps(number))[0], ['good'], `wire ${number}`);
  });
  assert.deepEqual(unexpected(wrong), []);
});

test('a bay 1 or 3, a picture of a post 2, left safe 3 and a picture', { timeout: 120_000 }, async (t) => {
  const site = await onSite(t, 'taps-bay');
  const { host, job, run, page, wrong, of } = site;
  const [first, second] = run.bays;
  const fields = [['name', 'probe 125'], ['kind', 'probe'], ['size', { nm: 125_000_000 }]];
  await host.call('addThing', { job, thing: 'tool', fields: fields.map(([field, value]) => ({ field, value })), confirmed: true });
  await open(page, `${site.in}?at=${encodeURIComponent(first.subject)}`, `Run ${run.name}`);
  const bay = page.getByRole('dialog', { name: `Bay ${first.name}`, exact: true });
  const gaps = async (of_) => (await of(of_.subject, 'gaps', run.id)).map((w) => w.value);
  await within(page, 1, 'all gaps stop', () => calls(page, 'checkGaps', () => touch(bay, 'button', `All stop, ${first.name}`)), async () => {
    const [said, ...more] = await gaps(first);
    assert.deepEqual([said.result, said.exceptions ?? [], more], ['stops', [], []]);
  });
  await open(page, `${site.in}/gaps`, 'Gaps');
  const region = page.getByRole('region', { name: `Gaps, Bay ${second.name}` });
  await within(page, 3, 'one gap fails', async () => {
    await touch(region, 'button', `Passes through, ${second.name}`);
    await touch(region, 'button', 'Wire 6–7');
    await calls(page, 'checkGaps', () => touch(region, 'button', 'Keep: passes at 1 opening'));
  }, async () => assert.deepEqual((await host.call('progress', { job, run: run.id })).bays.find((b) => b.bay === second.subject || b.name === second.name).passesAbove, [6]));

  const post = run.posts[1];
  await open(page, `${site.in}?at=${encodeURIComponent(post.subject)}`, `Run ${run.name}`);
  const card = page.getByRole('dialog', { name: `Post ${post.name}`, exact: true });
  // At the thumb as the card opens: a swipe would be a touch too.
  const button = await named(card, 'button', 'Picture').boundingBox();
  assert.ok(button.y + button.height <= page.viewportSize().height, `the way to a picture is at ${button.y}`);
  await within(page, 2, 'a picture of a post', async () => {
    await touch(card, 'button', 'Picture');
    await taken(page, card, 'Camera');
    // Back on the card, with nothing left open.
    await named(card, 'button', 'Picture').waitFor();
  }, async () => assert.deepEqual((await host.call('readJob', { job })).photos.flatMap((p) => p.shows.map((s) => [s.subject, s.evidence])), [[post.subject, 'postFixing']]));

  for (const [how, told] of [['Boards across the opening', 'The owner'], ['Fence panels', 'Nobody was there']]) {
    const { created } = await host.call('addThing', { job, thing: 'visit', fields: [{ field: 'day', value: await page.evaluate(() => new Date().toLocaleDateString('sv')) }], confirmed: true });
    await open(page, `#/job/${job}/visits`, 'Visits');
    await page.reload();
    await at(page, 'Visits');
    const left = page.getByRole('region', { name: starts('Left safe, ') });
    await within(page, 3, 'left safe', async () => {
      await touch(left.getByRole('group', { name: 'How the edge is guarded' }), 'button', how);
      await touch(left.getByRole('group', { name: 'Who was told' }), 'button', told);
      await calls(page, 'say', () => touch(left, 'button', 'Keep'));
    }, async () => assert.deepEqual((await of(created, 'leftSafe')).map((w) => w.value), [{ how, told }]));
    await within(page, 2, 'a picture of the edge', async () => {
      await touch(left, 'button', 'Picture');
      await taken(page, left, 'Camera');
    }, async () => {
      const photos = (await host.call('readJob', { job })).photos.flatMap((p) => p.shows.filter((s) => s.subject === created).map((s) => s.evidence));
      assert.deepEqual(photos, ['leftSafe']);
    });
  }
  assert.deepEqual(unexpected(wrong), []);
});
