// What a keyboard, a measuring device that types, and a clipboard bring to the pad is kept as it was typed, or refused in words; a
// whole run is measured wire by wire; nothing is kept twice. What the record then holds is read back through the list of commands.
import assert from 'node:assert/strict';
import test from 'node:test';
import { serve } from '../lib/host.js';
import { browser, countAnew, phone, quiet, touched, unexpected } from '../lib/phone.js';
import { calls, named, starts, touch } from '../lib/touch.js';
import { stands } from '../steps/ready.js';
import { open } from '../steps/screens.js';
import { FOR_CUTTING, sayFirst } from '../steps/survey.js';
import { surveyed } from '../steps/surveyed.js';

const INCH = 25_400_000;
const BUDGET = [3, 5];

/** A phone on the surveyed job's run A, of which no length stands any more; they are read as they are cut from. */
async function begin(t, name) {
  const host = await serve(t, name);
  const { job, runs: [run] } = await surveyed(host);
  const read = await Promise.all([...run.wires.map((w) => stands(host, job, w.subject, 'length')), ...run.bays.map((b) => stands(host, job, b.subject, 'clear'))]);
  for (const { entry } of read.flat()) await host.call('withdraw', { job, entry, reason: 'Read anew' });
  const { page, wrong } = await phone(await browser(t), host);
  const measuring = (n) => `#/job/${job}/run/${run.id}/measure${n ? `?wire=${n}` : ''}`;
  await open(page, measuring(1), 'Measure');
  await sayFirst(page, [...FOR_CUTTING, ['With', 'Tape']]);
  const words = async (subject, field) => (await stands(host, job, subject, field)).filter((w) => w.value !== null).map((w) => [w.value.nm, w.with.entered]);
  return { host, job, run, page, wrong, measuring, of: (n) => words(`wire:${run.id}:${n}`, 'length'), ofBay: (bay) => words(bay.subject, 'clear') };
}

const heading = (page, n) => named(page, 'heading', starts(`Wire ${n}`)).waitFor();
const value = (page) => page.getByRole('status', { name: 'Value' });
const told = async (page) => (await value(page).innerText()).replace(/[\u200b\s]+/g, ' ').trim();
const alert = (page) => page.locator('[data-pad]').getByRole('alert');
const keep = (page) => page.getByRole('group', { name: 'Number pad' }).getByRole('button', { name: starts('Keep') });
/** A promise, and what fulfils it. */
function gate() {
  let resolve;
  const promise = new Promise((done) => void (resolve = done));
  return { promise, resolve };
}
/** As a device does: no pause between the keys. */
const device = (page, text) => page.keyboard.type(text);
const kept = (page, act, command = 'measure') => calls(page, command, act);
const inch = (whole, top = 0, under = 1) => whole * INCH + (top * INCH) / under;

test('what is typed is kept exactly, with digits that stand already and without, in millimetres and inches', { timeout: 120_000 }, async (t) => {
  const { page, wrong, measuring, of } = await begin(t, 'typed');
  const wire = async (n) => {
    await open(page, measuring(n), 'Measure');
    await heading(page, n);
  };
  // The first wire: no digits stand; then behind 72, and behind 7.
  const cases = [
    [1, '7294', 7_294_000_000, '7294 mm'],
    [2, '97', 7_297_000_000, '7297 mm'],
    [3, '96,5', 7_296_500_000, '7296.5 mm'],
    [4, '7.299 m', 7_299_000_000, '7.299 m'],
    [5, '07301', 7_301_000_000, '07301 mm'],
    [6, '287 7/16"', inch(287, 7, 16), '287 7/16"'],
    [7, `23' 11 1/2"`, inch(23 * 12 + 11, 1, 2), `23' 11 1/2"`]
  ];
  for (const [n, text, nm, entered] of cases) {
    await wire(n);
    assert.equal((await kept(page, () => device(page, `${text}\n`))).status(), 200, text);
    await quiet(page);
    assert.deepEqual(await of(n), [[nm, entered]], text);
  }
  // Metres without their unit, over several keys and behind a lead: shown as typed, asked about, one touch takes them.
  await wire(8);
  await device(page, '7.303\n\n');
  await alert(page).getByText(/7\.303\smm is \d+ times less than wire 7\. In metres\? It would be 7303\smm\./).waitFor();
  assert.equal(await told(page), '7.303 mm');
  await quiet(page);
  assert.deepEqual(await of(8), [], 'a second Enter answers no question');
  await kept(page, () => touch(page, 'button', /^7\.303 m: 7303\smm$/));
  await quiet(page);
  assert.deepEqual(await of(8), [[7_303_000_000, '7.303 m']]);

  // Refused in words, all of it shown, nothing kept.
  await wire(9);
  for (const text of ['62 1', '1.2.3', '7304 km', '287/3']) {
    await device(page, `${text}\n`);
    await alert(page).getByText(`“${text}” can’t be read as a length. Nothing was kept.`).waitFor();
    assert.equal((await told(page)).replace(/ mm$/, ''), text);
    for (const _ of text) await page.keyboard.press('Backspace');
  }
  // One digit behind a lead is no length, and Enter says so.
  await wire(10);
  await device(page, '3\n');
  await alert(page).getByText('Type the last 2 digits behind 73, or the whole length. Nothing was kept.').waitFor();
  assert.deepEqual([await of(9), await of(10)], [[], []]);

  await touch(page, 'button', 'inch');
  for (const [n, text, nm, entered] of [
    [9, '287 1/2', inch(287, 1, 2), '287 1/2 in'],
    [10, `23' 11 9/16`, inch(23 * 12 + 11, 9, 16), `23' 11 9/16`],
    [11, '287-5/8', inch(287, 5, 8), '287-5/8 in']
  ]) {
    await wire(n);
    assert.equal((await kept(page, () => device(page, `${text}\n`))).status(), 200, text);
    await quiet(page);
    assert.deepEqual(await of(n), [[nm, entered]], text);
  }
  // The same by the keys on the glass.
  await wire(12);
  const keys = page.getByRole('group', { name: 'Number pad' });
  for (const key of ['2', '3', 'ft ′', '1', '1', '⁄16', '1', '1']) await touch(keys, 'button', key);
  assert.equal(await told(page), '23′ 11 11/16');
  await kept(page, () => keep(page).tap());
  await quiet(page);
  assert.deepEqual(await of(12), [[inch(23 * 12 + 11, 11, 16), `23' 11 11/16`]]);
  assert.deepEqual(unexpected(wrong), []);
});

test('a device goes on through the run while each number is being kept', { timeout: 90_000 }, async (t) => {
  const { page, wrong, of, measuring, run, ofBay } = await begin(t, 'burst');
  await open(page, measuring(), 'Measure');
  // The record takes its time: nothing is kept before all is typed. What is typed meanwhile is for the next.
  const { promise: allTyped, resolve: typed } = gate();
  await page.route(/\/api\/measure(Bay)?$/, async (route) => {
    await allTyped;
    await route.continue();
  });
  await named(page, 'heading', `Bay ${run.bays[0].name}`).waitFor();
  const clear = [1380, 1410, 1395, 1560, 1195];
  const lengths = [7294, 7300, 7305];
  await device(page, `${[...clear, ...lengths].join('\n')}\n`);
  typed();
  await page.getByText('Bays and as many wires as are needed are measured.').waitFor({ timeout: 30_000 });
  await quiet(page);
  for (const [i, bay] of run.bays.entries()) assert.ok((await ofBay(bay)).some(([nm]) => nm === clear[i] * 1e6), `bay ${bay.name}`);
  assert.deepEqual(await Promise.all([1, 6, 12].map(of)), lengths.map((mm) => [[mm * 1e6, `${mm} mm`]]));
  assert.deepEqual(unexpected(wrong), []);
});

test('a whole run of twelve wires, three to five taps each', { timeout: 120_000 }, async (t) => {
  const { page, wrong, of, run, measuring } = await begin(t, 'whole-run');
  await named(page, 'button', /, tape/).tap();
  const wires = page.getByRole('group', { name: 'Wires', exact: true });
  assert.equal(await named(wires, 'button', 'Bottom, middle, top').getAttribute('aria-pressed'), 'true');
  await touch(wires, 'button', 'Every wire');
  await named(page, 'button', /, tape, every wire/).tap();
  // It is kept with the run's conditions.
  await page.reload();
  await named(page, 'button', /, tape, every wire/).waitFor();
  await open(page, measuring(1), 'Measure');
  const lengths = run.wires.map((_, i) => 7294 + i);
  const began = performance.now();
  for (const [i, mm] of lengths.entries()) {
    await heading(page, i + 1);
    await quiet(page);
    await countAnew(page);
    // What stands already is not typed again; the value tells what does.
    const lead = (await told(page)).match(/^\d*/)[0];
    const keys = page.getByRole('group', { name: 'Number pad' });
    for (const digit of String(mm).slice(String(mm).startsWith(lead) ? lead.length : 0)) await touch(keys, 'button', digit);
    await kept(page, () => keep(page).tap());
    const taps = await touched(page);
    assert.ok(taps >= BUDGET[0] && taps <= BUDGET[1], `wire ${i + 1}: ${taps} taps`);
  }
  await page.getByText('Bays and all wires are measured.').or(named(page, 'heading', starts('Bay '))).first().waitFor();
  await quiet(page);
  const seconds = ((performance.now() - began) / 1000).toFixed(1);
  t.diagnostic(`twelve wires measured by touch in ${seconds} s`);
  assert.deepEqual(await Promise.all(run.wires.map((w) => of(w.number))), lengths.map((mm) => [[mm * 1e6, `${mm} mm`]]));
  assert.deepEqual(unexpected(wrong), []);
});

test('bays stand beside each other, with the digits they share; an odd one is questioned', { timeout: 90_000 }, async (t) => {
  const { page, wrong, run, measuring, ofBay } = await begin(t, 'bays');
  const [first, second, third, fourth] = run.bays;
  const bay = (b) => named(page, 'heading', `Bay ${b.name}`).waitFor();
  const beside = (b, mm) => page.locator('[data-pad]').getByText(`bay ${b.name} ${mm}`).waitFor();
  await open(page, measuring(), 'Measure');
  await bay(first);
  await kept(page, () => device(page, '1380\n'), 'measureBay');
  await bay(second);
  await beside(first, 1380);
  assert.equal(await told(page), '13 mm', 'the digits of the bay beside it stand already');
  await kept(page, () => device(page, '95\n'), 'measureBay');
  await bay(third);
  await beside(second, 1395);
  // Inches among millimetres: a whole number of its own, asked about as before.
  await page.keyboard.press('Backspace');
  await device(page, '55\n');
  await alert(page).getByText(`25 times shorter than bay ${first.name}. Inches?`).waitFor();
  await quiet(page);
  assert.deepEqual(await ofBay(third), []);
  for (const _ of '55') await page.keyboard.press('Backspace');
  // One of another hundred: what the bays share no longer stands.
  await kept(page, () => device(page, '1410\n'), 'measureBay');
  await bay(fourth);
  await beside(third, 1410);
  assert.equal(await told(page), 'mm');
  await quiet(page);
  assert.deepEqual(await Promise.all([first, second, third].map(ofBay)), [1380, 1395, 1410].map((mm) => [[mm * 1e6, `${mm} mm`]]));
  assert.deepEqual(unexpected(wrong), []);
});

test('two fingers and a double tap keep once, and answer no question unread', { timeout: 90_000 }, async (t) => {
  const { page, wrong, of, measuring } = await begin(t, 'double');
  let asked = 0;
  page.on('request', (r) => void (asked += /\/api\/measure$/.test(r.url()) ? 1 : 0));
  // Twice in one breath, before anything is answered.
  const twice = () => keep(page).evaluate((button) => {
    button.click();
    button.click();
  });
  await device(page, '7288');
  await kept(page, twice);
  await heading(page, 6);
  await quiet(page);
  assert.deepEqual([asked, await of(1)], [1, [[7_288_000_000, '7288 mm']]]);

  // Two fingers on Keep: two touches that begin and end together.
  await device(page, '7292');
  const { x, y, width, height } = await keep(page).boundingBox();
  const points = [0.3, 0.7].map((part, id) => ({ x: x + width * part, y: y + height / 2, id }));
  const glass = await page.context().newCDPSession(page);
  await kept(page, async () => {
    await glass.send('Input.dispatchTouchEvent', { type: 'touchStart', touchPoints: points });
    await glass.send('Input.dispatchTouchEvent', { type: 'touchEnd', touchPoints: [] });
    await keep(page).tap({ timeout: 1000 }).catch(() => undefined);
  });
  await heading(page, 12);
  await quiet(page);
  assert.deepEqual([asked, await of(6)], [2, [[7_292_000_000, '7292 mm']]]);

  // An odd one is asked about; the second tap of the same touch is no yes.
  await open(page, measuring(3), 'Measure');
  await heading(page, 3);
  // Whole, instead of behind what stands.
  await page.keyboard.press('Backspace');
  await device(page, '287');
  await twice();
  await alert(page).getByText(/25 times shorter than wire 1\. Inches\?/).waitFor();
  await quiet(page);
  assert.deepEqual([asked, await of(3)], [2, []]);
  // A yes in its own time is taken.
  await kept(page, () => touch(page, 'button', /^287 in: /));
  await quiet(page);
  assert.deepEqual([asked, await of(3)], [3, [[inch(287), '287 in']]]);
  assert.deepEqual(unexpected(wrong), []);
});

test('a pasted length is taken like a typed one; anything else is refused in words and what was typed stays', { timeout: 90_000 }, async (t) => {
  const { page, wrong, of, measuring } = await begin(t, 'pasted');
  const paste = (text) => page.evaluate((pasted) => {
    const clipboardData = new DataTransfer();
    if (pasted !== null) clipboardData.setData('text/plain', pasted);
    document.body.dispatchEvent(new ClipboardEvent('paste', { clipboardData, bubbles: true, cancelable: true }));
  }, text);
  for (const [n, text, nm, entered] of [[1, ' 7294\n', 7_294_000_000, '7294 mm'], [2, '7.297 m', 7_297_000_000, '7.297 m']]) {
    await open(page, measuring(n), 'Measure');
    await heading(page, n);
    await paste(text);
    assert.equal((await told(page)).replace(/ mm$/, ''), text.trim());
    await kept(page, () => keep(page).tap());
    await quiet(page);
    assert.deepEqual(await of(n), [[nm, entered]]);
  }
  await open(page, measuring(3), 'Measure');
  await heading(page, 3);
  await device(page, '9');
  const before = await told(page);
  for (const [text, shown] of [['🙂', '“🙂” was pasted'], ['7'.repeat(10_000), `“${'7'.repeat(40)}…” was pasted`], ['twelve wires', '“twelve wires” was pasted'], [null, 'What was pasted holds no text.']]) {
    await paste(text);
    await alert(page).getByText(shown).waitFor();
    assert.equal(await told(page), before, 'what was typed stays');
  }
  // A whole length takes its place, and what was typed is offered again.
  await paste('7298');
  await page.getByRole('group', { name: 'Not saved yet' }).getByText(/9… mm/).waitFor();
  assert.equal(await told(page), '7298 mm');
  // In a field the clipboard is the field's own.
  assert.deepEqual(await of(3), []);
  assert.deepEqual(unexpected(wrong), []);
});
