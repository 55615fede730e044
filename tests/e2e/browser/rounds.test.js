// Rounds by touch: ticks of several wires, a tension round on a phone's glass, left and taken up again, and crimps.
import assert from 'node:assert/strict';
import test from 'node:test';
import { quiet, unexpected } from '../lib/phone.js';
import { at, calls, choose, named, pad, starts, touch, write } from '../lib/touch.js';
import { made, onSite, PRESSED, within } from '../steps/onsite.js';
import { open } from '../steps/screens.js';

test('several wires are ticked from the first to the last, shown before they are kept: a whole run 3', { timeout: 90_000 }, async (t) => {
  const site = await onSite(t, 'taps-several');
  const { host, job, run, page, wrong, of } = site;
  await made(site, []);
  const ticked = async (field, place) => {
    const now = await host.call('readJob', { job });
    const told = await Promise.all(now.runs[0].wires.map(async (w) => (await of(w.subject, field, place)).length > 0 && w.number));
    return told.filter(Boolean);
  };
  const keys = (name) => page.getByRole('group', { name, exact: true });
  await open(page, `${site.in}/work?act=cut`, 'Ticks');
  // All keys of the run are on the glass, and what ticks the rest of it.
  const glass = page.viewportSize().height;
  for (const button of [named(page, 'button', 'Cut, wire 12'), named(page, 'button', /^Cut: (all \d+|the one) that (are|is) (left|ready)/)]) {
    const box = await button.boundingBox();
    assert.ok(box.y + box.height <= glass, `it ends at ${box.y + box.height}`);
  }
  await within(page, 4, 'wires 3 to 5, in any order', async () => {
    await touch(page, 'button', 'Several: from … to …');
    await touch(keys('Cut'), 'button', 'Cut, wire 5');
    await touch(keys('Cut'), 'button', 'Cut, wire 3');
    await calls(page, 'tickWires', () => touch(page, 'button', 'Cut: wires 3–5'));
  }, async () => assert.deepEqual(await ticked('cut'), [3, 4, 5, 6]));
  // Typed, with one of them ticked already: that is told, and the others are kept.
  await touch(page, 'button', 'Several: from … to …');
  await write(page, 'Wires', '2-1, 5');
  await page.getByText('Ticked already: 5.', { exact: true }).waitFor();
  await write(page, 'Wires', '2-1, 13');
  await page.getByText('These are no wires of the run. Type them like 1–12.').waitFor();
  assert.equal(await named(page, 'button', 'Cut: no wire yet').isDisabled(), true);
  await write(page, 'Wires', '2-1');
  await calls(page, 'tickWires', () => touch(page, 'button', 'Cut: wires 1–2'));
  await quiet(page);
  assert.deepEqual(await ticked('cut'), [1, 2, 3, 4, 5, 6]);
  // On from the wire that was touched last.
  await calls(page, 'tickWires', () => touch(page, 'button', 'Cut, wire 7'));
  await touch(page, 'button', '7 to …');
  await touch(keys('Cut'), 'button', 'Cut, wire 9');
  await calls(page, 'tickWires', () => touch(page, 'button', 'Cut: wires 8–9'));
  await quiet(page);
  assert.deepEqual(await ticked('cut'), [1, 2, 3, 4, 5, 6, 7, 8, 9]);
  await within(page, 3, 'what is left of the run', async () => {
    await touch(page, 'button', 'Several: from … to …');
    await calls(page, 'tickWires', () => touch(page, 'button', 'Cut: wires 10–12'));
  }, async () => assert.equal((await ticked('cut')).length, 12));
  // Nothing is left of the act: the next one is at the thumb, on this very screen.
  const next = page.locator('.act');
  await next.waitFor();
  // Another act of this very screen, and the way back: the screen follows its address.
  await page.evaluate((href) => {
    const link = document.body.appendChild(Object.assign(document.createElement('a'), { href, textContent: 'on' }));
    link.click();
    link.remove();
  }, `${site.in}/work?act=leftEndPressed`);
  await keys('Left end pressed').waitFor();
  await page.goBack();
  await keys('Cut').waitFor();
  assert.deepEqual(unexpected(wrong), []);
});

test('a round on a phone’s glass: pad, bays to read, the day, and taking it up again', { timeout: 120_000 }, async (t) => {
  const site = await onSite(t, 'taps-round');
  const { host, job, run, page, wrong, of } = site;
  await made(site, ['cut', ...PRESSED, 'fitted']);
  await open(page, `${site.in}/tension`, 'Tension');
  const { toRead } = (await host.call('progress', { job, run: run.id })).tensions ?? {};
  const listed = await named(page, 'combobox', 'Bay where it is read').locator('optgroup').first().locator('option').allInnerTexts();
  assert.ok(listed.length > 0);
  if (toRead) assert.deepEqual(listed, toRead);
  await page.getByText(`furthest from the tensioner: ${listed.join(' and ')}.`).waitFor();
  await choose(page, 'Tension gauge', 'G-02');
  await choose(page, 'Bay where it is read', listed[0]);
  await write(page, 'Air', '24');
  await named(page, 'status', 'Value').waitFor();
  await page.reload();
  await at(page, 'Tension');
  await quiet(page);

  // As it opens: the running value, the keys and what keeps it are on the glass.
  assert.equal(await page.evaluate(() => scrollY), 0);
  const glass = page.viewportSize().height;
  for (const part of [named(page, 'status', 'Value'), page.getByRole('group', { name: 'Number pad' }), named(page, 'button', /^Keep/)]) {
    const box = await part.boundingBox();
    assert.ok(box.y >= 0 && box.y + box.height <= glass, `it stands from ${box.y} to ${box.y + box.height} of ${glass}`);
  }
  assert.ok((await page.getByText('Both ends, equal turns. Stand aside.').first().boundingBox()).y < (await named(page, 'status', 'Value').boundingBox()).y);

  // Left in the middle with two digits typed, by reload and by the way back: the same wire, and the digits are offered.
  const pick = page.getByRole('group', { name: 'Read a wire again' });
  await touch(pick, 'button', 'Wire 7');
  await named(page, 'heading', 'Wire 7').waitFor();
  const typed = page.waitForResponse((r) => r.url().endsWith('/api/keep') && (r.request().postDataJSON()?.name ?? '').startsWith('ui:draft-tension-'));
  await touch(page.getByRole('group', { name: 'Number pad' }), 'button', '1');
  await typed;
  const same = async (how) => {
    await at(page, 'Tension');
    await named(page, 'heading', 'Wire 7').waitFor();
    await page.getByRole('group', { name: 'Not saved yet' }).waitFor();
    assert.match(await page.getByRole('group', { name: 'Not saved yet' }).innerText(), /1/, how);
  };
  await page.reload();
  await same('read again');
  await touch(page, 'link', 'Back');
  await at(page, `Run ${run.name}`);
  await page.goBack();
  await same('the browser’s way back');
  await touch(page, 'link', 'Back');
  await at(page, `Run ${run.name}`);
  await named(page, 'link', starts('Tension Readings')).tap();
  await same('come to anew');

  // On another day the temperature is asked again, and no reading takes the old one along.
  const later = Date.now() + 14 * 86_400_000;
  await page.clock.setFixedTime(later);
  await page.reload();
  await at(page, 'Tension');
  await page.getByText('Set once for the round: temperature.').waitFor();
  assert.equal(await named(page, 'textbox', starts('Air')).inputValue(), '');
  // What is typed before it is told is taken, kept on the pad and not in the record, and says at once what comes first.
  let early = 0;
  page.on('request', (r) => (early += r.url().endsWith('/api/readTension') ? 1 : 0));
  await touch(page.getByRole('group', { name: 'Not saved yet' }), 'button', 'Drop it');
  await page.keyboard.type('600');
  await page.getByText('Then keep what you typed: it stays here.').waitFor();
  await page.keyboard.press('Enter');
  assert.equal(await named(page, 'button', /^Keep/).isDisabled(), true);
  await write(page, 'Air', '31');
  await page.getByText('Set once for the round').waitFor({ state: 'detached' });
  assert.equal(early, 0);
  assert.match(await page.getByRole('status', { name: 'Value' }).innerText(), /^600/);
  const answered = await calls(page, 'readTension', () => touch(page, 'button', /^Keep/));
  assert.equal(answered.request().postDataJSON().newtons, '600');
  assert.equal(answered.request().postDataJSON().round.air, '31');

  // A screen that stands open over night asks before it keeps.
  await page.clock.setFixedTime(later + 86_400_000);
  let asked = 0;
  page.on('request', (r) => (asked += r.url().endsWith('/api/readTension') ? 1 : 0));
  await pad(page, '600', /^Keep/);
  await page.getByText('Set once for the round: temperature.').waitFor();
  await quiet(page);
  assert.equal(asked, 0);

  // In the final round all wires are read in the widest bay; then one touch leads to the other.
  await write(page, 'Air', '20');
  await page.getByRole('button', { name: /^Pass/, expanded: false }).tap();
  await touch(page.getByRole('group', { name: 'Stage' }), 'button', 'Final');
  await write(page, 'Air', '20');
  for (const { number } of run.wires) {
    await host.call('readTension', { job, run: run.id, wire: number, newtons: '1500', round: { bay: run.bays.find((b) => b.name === listed[0]).place ?? run.bays.find((b) => b.name === listed[0]).subject.replace('bay:', ''), stage: 'final', gauge: (await host.call('readJob', { job })).tools.find((x) => x.name === 'G-02').id, air: '20' }, confirmed: true });
  }
  // Come to anew and at no wire: an address that names one stays with it.
  await page.reload();
  await at(page, 'Tension');
  await touch(page, 'link', 'Back');
  await at(page, `Run ${run.name}`);
  await named(page, 'link', starts('Tension Readings')).tap();
  await at(page, 'Tension');
  await quiet(page);
  if (listed.length > 1) {
    // The one at the thumb; the warning further down has the same.
    const on = named(page, 'button', `Read it in ${listed[1]}`).first();
    const box = await on.boundingBox();
    assert.ok(box.y + box.height <= glass, `it stands to ${box.y + box.height}`);
    await on.tap();
    await named(page, 'status', 'Value').waitFor();
    await page.getByRole('button', { name: /^Final/, expanded: false }).filter({ hasText: `Bay ${listed[1]}` }).waitFor();
    await calls(page, 'readTension', () => pad(page, '1500', /^Keep/));
    assert.ok((await Promise.all(run.wires.map((w) => of(w.subject, 'tension', run.bays.find((b) => b.name === listed[1]).subject.replace('bay:', ''))))).flat().length === 1);
  }
  assert.deepEqual(unexpected(wrong), []);
});

test('press, die and delivery are set once for the day’s crimps, each as it is there', { timeout: 90_000 }, async (t) => {
  const site = await onSite(t, 'taps-with');
  const { host, job, run, page, wrong, of } = site;
  const add = async (thing, fields) => (await host.call('addThing', { job, thing, fields: fields.map(([field, value]) => ({ field, value })), confirmed: true })).created.split(':').at(-1);
  const press = await add('tool', [['name', 'P-9'], ['kind', 'press']]);
  const batch = await add('batch', [['name', 'T-77'], ['kind', 'terminal']]);
  await made(site, ['cut', 'insertionMarked', 'leftEndPressed']);
  const size = { firstNm: 6_300_000, secondNm: 6_320_000 };
  await host.call('addSampleCrimp', { job, sample: { pullMn: 3_700_000, heldS: 60, markMovedNm: 0, result: 'good', left: size, right: size } });
  await open(page, `${site.in}/work?act=leftEndPressed`, 'Ticks');
  await page.getByText('Pressed with: as the day’s sample').tap();
  await choose(page, 'Press', 'P-9');
  await choose(page, 'Terminals from', 'T-77');
  await page.getByText('Pressed with: P-9 · T-77').waitFor();
  await page.reload();
  await at(page, 'Ticks');
  await page.getByText('Pressed with: P-9 · T-77').waitFor();
  await within(page, 1, 'crimps of the round', () => calls(page, 'checkCrimps', () => touch(page, 'button', /^Crimps of \d+ wires, all good$/)), async () => {
    const [{ with: made_ }] = await of(site.wire(2), 'crimp', run.posts[0].id);
    assert.deepEqual([made_.press, made_.batch, made_.die ?? null], [press, batch, null]);
  });
  // Tomorrow it is asked anew.
  await page.clock.setFixedTime(Date.now() + 86_400_000);
  await page.reload();
  await at(page, 'Ticks');
  await page.getByText('Pressed with: as the day’s sample').waitFor();
  assert.deepEqual(unexpected(wrong), []);
});

test('another run on the same screen has its own round', { timeout: 60_000 }, async (t) => {
  const site = await onSite(t, 'taps-runs');
  const { host, job, page, wrong } = site;
  const [, other] = (await host.call('readJob', { job })).runs;
  await open(page, `${site.in}/tension`, 'Tension');
  // What is typed first stays on the pad while the round is told, one thing after the other.
  await page.keyboard.type('600');
  const stays = async () => assert.match(await page.getByRole('status', { name: 'Value' }).innerText(), /^600/);
  await choose(page, 'Tension gauge', 'G-02');
  await choose(page, 'Bay where it is read', 'A2–A3');
  await stays();
  await write(page, 'Air', '24');
  await page.getByText('Bay A2–A3').first().waitFor();
  await stays();
  // Without leaving for another kind of screen, as a next act leads there.
  await page.evaluate((to) => (location.hash = to), `#/job/${job}/run/${other.id}/tension`);
  await page.getByText(`Run ${other.name}`).first().waitFor();
  await quiet(page);
  assert.equal(await page.getByText('Bay A2–A3').count(), 0);
  assert.equal(await named(page, 'textbox', starts('Air')).inputValue(), '');
  assert.deepEqual(unexpected(wrong), []);
});
