// Figures that people bring themselves, by touch on a phone: a known pull, a layout and its template, the crew's own sheet
// and rule set, a push of their own, a low spot of the floor. Each is read back through the list of commands.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import test from 'node:test';
import { serve } from '../lib/host.js';
import { browser, phone, quiet, unexpected } from '../lib/phone.js';
import { calls, choose, named, starts, touch, write } from '../lib/touch.js';
import { close, openFact, say } from '../steps/facts.js';
import { stands } from '../steps/ready.js';
import { open } from '../steps/screens.js';
import { surveyed } from '../steps/surveyed.js';

async function begin(t, name) {
  const host = await serve(t, name);
  const { job, runs, fittingSets } = await surveyed(host);
  const { page, wrong } = await phone(await browser(t), host);
  return { host, job, run: runs[0], fittingSets, page, wrong };
}
const at = (job, run, room = '') => `#/job/${job}/run/${run.id}${room}`;
const plain = (text) => text.replaceAll('\u00a0', ' ');

test('a post is tried with a known pull, the rail off and on', { timeout: 90_000 }, async (t) => {
  const { host, job, run, page, wrong } = await begin(t, 'pull');
  const [post] = run.posts;
  // Repeats stand in no order of their own: by how far the post moved.
  const pulls = async () => (await stands(host, job, post.subject, 'pull', run.id)).map(({ value: v }) => [v.mn / 1000, v.atNm / 1e6, v.movedNm / 1e6, v.railOn]).sort((a, b) => b[2] - a[2]);
  const asked = async () => (await host.call('postsAsked', { job, run: run.id })).posts.find((p) => p.post === post.id);
  const tip = async (held) => (await asked()).held.find((h) => h.held === held).tipMm;
  const assumed = await Promise.all(['free', 'withRail'].map(tip));
  await open(page, `${at(job, run)}?at=${encodeURIComponent(post.subject)}`, 'Run A');
  const card = page.getByRole('dialog', { name: 'Post A1' });
  const known = card.getByRole('region', { name: 'Known pulls' });
  const pull = async (moved, rail) => {
    if (await named(known, 'button', 'Try the post with a known pull').isVisible()) await touch(known, 'button', 'Try the post with a known pull');
    await write(known, 'Pull', '300');
    await write(known, 'Height of pull and reading', '1000');
    await write(known, 'The post moved', moved);
    await choose(known, 'Rail', rail);
    await calls(page, 'readPull', () => touch(known, 'button', 'Keep'));
  };
  const list = known.getByRole('list', { name: 'Known pulls', exact: true }).getByRole('listitem');
  await pull('1.5', 'Rail off');
  await list.nth(0).waitFor();
  assert.match(plain(await list.nth(0).innerText()), /300 N at 1000 mm: moved 1\.5 mm, rail off/);
  assert.deepEqual(await pulls(), [[300, 1000, 1.5, false]]);
  // The base turns: free, the post moves several times as far as was assumed, and the card says why.
  await card.getByText(/The base of post A1 turns, as pulled/).waitFor();
  assert.ok((await tip('free')) > 3 * assumed[0], `${await tip('free')} mm, assumed ${assumed[0]}`);

  await pull('0.8', 'Rail on');
  await list.nth(1).waitFor();
  assert.deepEqual(await pulls(), [[300, 1000, 1.5, false], [300, 1000, 0.8, true]]);
  await card.getByText(/The rail of run A at post A1, as pulled .* holds it by/).waitFor();
  assert.ok((await tip('withRail')) > assumed[1]);
  await card.getByText((await asked()).sentence).waitFor();

  // More with the rail on than off, and a post that lies down, are asked about; nothing is kept before a yes.
  await pull('2.8', 'Rail on');
  await known.getByRole('alert').filter({ hasText: 'more with the rail on than with it off' }).waitFor();
  await pull('900', 'Rail off');
  await known.getByRole('alert').filter({ hasText: 'more than a tenth of that height' }).waitFor();
  await touch(known, 'button', 'Cancel');
  assert.equal((await pulls()).length, 2);
  assert.doesNotMatch(await card.innerText(), /\b(is safe|complies|compliant|is ok)\b/i);
  assert.deepEqual(unexpected(wrong, ['readPull', 'readPull']), []);
});

test('wires are laid out with more in hand, taken in one act, and drilled by the template', { timeout: 90_000 }, async (t) => {
  const { host, job, run, page, wrong } = await begin(t, 'layout');
  const heights = async () => (await stands(host, job, `run:${run.id}`, 'wireHeights'))[0].value.nm;
  const before = await heights();
  assert.equal(before.length, 12);
  await open(page, at(job, run, '/layout'), 'Layout of wires');
  const twelve = page.getByRole('region', { name: '12 wires', exact: true });
  await twelve.getByText('✓ This stands in the record.').waitFor();
  assert.match(plain(await twelve.innerText()), /76 mm apart[\s\S]*4 mm in hand before the 100 mm row; 1725 N in the widest bay/);

  await write(page, 'In hand before the next row', '6');
  await calls(page, 'layOut', () => touch(page, 'button', 'Lay out'));
  const more = page.getByRole('region', { name: '13 wires', exact: true });
  await more.waitFor();
  const { proposals } = await host.call('layOut', { job, run: run.id, wishes: { inHand: { text: '6' } } });
  const thirteen = proposals.find((p) => p.heightsNm.length === 13);
  assert.equal(thirteen.inHandMm, 9);
  assert.match(plain(await more.innerText()), /71 mm apart.*\n[\s\S]*9 mm in hand/);
  assert.deepEqual(await heights(), before, 'a proposal is nothing in the record');
  // Three wires were measured for the quote: that is asked about once, and nothing is taken before a yes.
  await calls(page, 'takeLayout', () => touch(more, 'button', 'Take 13 wires into the record'));
  await page.getByRole('alert').filter({ hasText: '3 wires were measured or cut at the heights that stand now' }).waitFor();
  assert.deepEqual(await heights(), before);
  await calls(page, 'takeLayout', () => touch(page, 'button', 'Yes, keep it'));
  await more.getByText('✓ This stands in the record.').waitFor();
  assert.deepEqual(await heights(), thirteen.heightsNm);
  assert.equal((await host.call('readJob', { job })).runs[0].wires.length, 13);

  // Holes and template go by it; one post on letter paper is handed to the person.
  await open(page, at(job, run, '/holes'), 'Hole schedule');
  const { holes } = await host.call('holeSchedule', { job, run: run.id });
  const drilled = holes.filter((h) => h.post === run.posts[0].id);
  assert.deepEqual(drilled.map((h) => Math.round(h.heightMm * 1e6)), thirteen.heightsNm);
  await touch(page.getByRole('group', { name: 'Paper' }), 'button', 'US letter');
  await choose(page, 'Post', 'Post A1');
  const answered = await calls(page, 'drillingTemplate', () => touch(page, 'button', 'Write the template'));
  assert.deepEqual([answered.request().postDataJSON().paper, answered.request().postDataJSON().post], ['letter', run.posts[0].id]);
  const made = await answered.json();
  const faces = page.getByRole('list', { name: 'Faces' }).getByRole('listitem');
  await faces.first().waitFor();
  assert.deepEqual(await faces.allInnerTexts(), made.faces);
  const [download] = await Promise.all([page.waitForEvent('download'), touch(page, 'button', 'Save the PDF')]);
  const bytes = await readFile(await download.path());
  assert.deepEqual([bytes.length, bytes.subarray(0, 5).toString()], [made.bytes, '%PDF-']);
  assert.deepEqual(unexpected(wrong, ['takeLayout']), []);
});

test('a strand of the crew’s own from its sheet, changed, and a fitting set: each figure keeps where it is from', { timeout: 90_000 }, async (t) => {
  const { host, job, fittingSets, page, wrong } = await begin(t, 'sheets');
  const own = async () => (await host.call('libraries', {})).own.strands;
  await open(page, `#/job/${job}/library`, 'Library of the crew');
  const room = page.getByRole('region', { name: 'Strands', exact: true });
  await touch(room, 'button', 'Add a strand from its sheet');
  await write(room, 'Strand', '4 mm for the sea front');
  await write(room, 'Sheet: name and edition', 'Sheet T-4');
  await choose(room, 'Construction', '1×19');
  for (const [label, figure, page] of [['Diameter', '4', 'page 2'], ['Axial stiffness EA', '1200000', 'page 3'], ['Breaking load', '14000', '']]) {
    await write(room, label, figure);
    if (page) await write(room, `${label}: page`, page);
  }
  await calls(page, 'keepStrand', () => touch(room, 'button', 'Keep'));
  const line = room.locator('summary').filter({ hasText: '4 mm for the sea front' });
  await line.waitFor();
  // What the sheet does not tell is asked for or taken within a band, and says so.
  const [first] = await own();
  assert.deepEqual(first.sheet.figures, {
    diameterNm: { n: 4_000_000, origin: 'Sheet T-4, page 2' }, eaMn: { n: 1_200_000_000, origin: 'Sheet T-4, page 3' }, breakingMn: { n: 14_000_000, origin: 'Sheet T-4' }
  });
  await line.tap();
  for (const told of [...first.asks, ...first.bands]) await room.getByText(plain(told)).or(room.getByText(told)).first().waitFor();

  await touch(room, 'button', 'Open');
  assert.equal(await named(room, 'textbox', 'Sheet: name and edition').inputValue(), 'Sheet T-4');
  await write(room, 'Sheet: name and edition', 'Own test of 3 May');
  await write(room, 'Permanent stretch', '0.3');
  await write(room, 'Breaking load', '13500');
  await calls(page, 'keepStrand', () => touch(room, 'button', 'Keep'));
  await quiet(page);
  const [changed] = await own();
  assert.deepEqual(changed.sheet.figures, {
    ...first.sheet.figures, breakingMn: { n: 13_500_000, origin: 'Own test of 3 May' }, stretchPpm: { n: 300, origin: 'Own test of 3 May' }
  });
  assert.deepEqual([changed.id, (await own()).length, changed.asks], [first.id, 1, []]);

  await open(page, `#/job/${job}/materials`, 'Strand and fittings');
  await choose(page, 'Strand from the library', 'Of the crew: 4 mm for the sea front');
  await calls(page, 'useStrand', () => touch(page, 'button', 'Copy the strand into the job'));
  const copied = page.getByRole('list', { name: 'Strand', exact: true }).getByRole('listitem').filter({ hasText: '4 mm for the sea front' });
  await copied.waitFor();
  const strand = (await host.call('readJob', { job })).strands.find((s) => s.name === '4 mm for the sea front');
  const [figures] = await stands(host, job, strand.subject, 'figures');
  assert.deepEqual([figures.value.eaMn, figures.value.eaOrigin, figures.value.stretchOrigin], [1_200_000_000, 'Sheet T-4, page 3', 'Own test of 3 May']);
  assert.match(await copied.innerText(), /Sheet T-4, page 3/);

  // One figure of the fitting set is measured anew: the program asks from where, and the others keep theirs.
  const [set] = fittingSets;
  const terminals = async () => (await stands(host, job, set.subject, 'terminals'))[0].value;
  const before = await terminals();
  await named(page.getByRole('list', { name: 'Fitting sets' }), 'button', starts(set.name)).tap();
  const card = page.getByRole('dialog', { name: set.name });
  const form = await openFact(card, page, 'Terminals, one pair LH and RH');
  await write(form, 'Growth on pressing', '1.2');
  await touch(form, 'button', 'Keep');
  await form.getByText('Tell where the changed figures are from.', { exact: false }).waitFor();
  assert.deepEqual(await terminals(), before);
  await write(form, 'Where the figures are from', 'sample crimp S-1');
  await calls(page, 'say', () => touch(form, 'button', 'Keep'));
  await form.waitFor({ state: 'detached' });
  const after = await terminals();
  assert.deepEqual([after.left.growthNm, after.right.growthNm, after.left.overallNm], [1_200_000, 1_200_000, before.left.overallNm]);
  const { origins } = after;
  assert.deepEqual([origins['left.growthNm'], origins['right.growthNm'], origins['left.overallNm'], origins.unequalStartNm], ['sample crimp S-1', 'sample crimp S-1', before.origins['left.overallNm'], before.origins.unequalStartNm]);
  await card.getByText('sample crimp S-1', { exact: true }).waitFor();
  assert.deepEqual(unexpected(wrong), []);
});

test('a rule set of the crew’s own says on every screen that it was changed', { timeout: 90_000 }, async (t) => {
  const { host, job, run, page, wrong } = await begin(t, 'own-rules');
  await open(page, `#/job/${job}/rules`, 'Rule sets');
  const fold = (name) => page.getByRole('list', { name: 'What could be chosen' }).getByRole('listitem').filter({ has: page.locator('summary', { hasText: name }) });
  const theirs = fold('Australia: housing barriers, 2022').first();
  await theirs.locator('summary').first().tap();
  await touch(theirs, 'button', 'Copy it and change figures');
  await write(theirs, 'Its name', 'Harbour shire');
  await write(theirs, 'Why', 'the shire asks for 1.1 m');
  // Unchanged it is none of the crew's own.
  await touch(theirs, 'button', 'Keep it for the crew');
  await theirs.getByText('No figure differs yet.').waitFor();
  await write(theirs, 'Least height, level', '1100');
  await calls(page, 'keepRuleSet', () => touch(theirs, 'button', 'Keep it for the crew'));
  const ours = fold('Harbour shire').first();
  await ours.locator('summary').first().tap();
  await ours.getByText(/the shire asks for 1\.1 m/).first().waitFor();
  await calls(page, 'useRuleSet', () => touch(ours, 'button', 'Use it for this job'));
  await quiet(page);
  const { ruleSet } = await host.call('beforeOrdering', { job, run: run.id });
  assert.match(ruleSet.changed, /with 1 change: Ann, .*the shire asks for 1\.1 m/);

  // Dates are told as people write them: the sentence is known by its end.
  const told = /the shire asks for 1\.1\sm/;
  for (const [address, title] of [[`#/job/${job}/ordering`, 'Before ordering'], [at(job, run, '/layout'), 'Layout of wires']]) {
    await open(page, address, title);
    await page.getByRole('note').filter({ hasText: told }).first().waitFor();
  }
  const height = page.getByRole('listitem').filter({ has: named(page, 'heading', starts('Height, A')) });
  await open(page, `#/job/${job}/ordering`, 'Before ordering');
  assert.match(plain(await height.first().innerText()), /1100 mm asked above the floor/);
  await open(page, at(job, run, '/cuts'), 'Cut sheet');
  await page.getByText(told).first().waitFor();
  await open(page, at(job, run), 'Run A');
  await page.getByText('Rule set changed by its users').first().waitFor();
  assert.doesNotMatch(await page.locator('main').innerText(), /\b(is safe|complies|compliant)\b/i);
  assert.deepEqual(unexpected(wrong), []);
});

test('a sphere and a push of one’s own on a bay', { timeout: 60_000 }, async (t) => {
  const { host, job, run, page, wrong } = await begin(t, 'push');
  await open(page, at(job, run, '/push'), 'Under a push');
  const usual = (await host.call('underPush', { job, run: run.id })).pushed;
  await page.getByText(plain(usual.least)).or(page.getByText(usual.least)).waitFor();
  await write(page, 'Sphere', '100');
  await write(page, 'Push', '150');
  await calls(page, 'underPush', () => touch(page, 'button', 'Work it out'));
  const { pushed, sections } = await host.call('underPush', { job, run: run.id, sphere: { text: '100' }, push: '150' });
  assert.notEqual(pushed.least, usual.least);
  await page.getByText(pushed.least).waitFor();
  await page.getByText(/Sphere\s100\smm, as typed\.\sPush\s150\sN, as typed\./).waitFor();
  // Another bay, by touch: its openings with their forces, and its section drawn with the sphere.
  const bay = pushed.bays.findIndex((b) => b.name === 'A1–A2');
  await touch(page.getByRole('group', { name: 'Openings' }), 'button', 'A1–A2');
  await named(page, 'heading', 'Bay A1–A2').waitFor();
  const rows = page.getByRole('list', { name: 'Openings', exact: true }).first().getByRole('listitem');
  assert.equal(await rows.count(), pushed.bays[bay].openings.length);
  const floor = pushed.bays[bay].openings.find((o) => o.between === 'floorAndWire');
  assert.match(plain(await rows.last().innerText()), new RegExp(`Floor to wire 1[\\s\\S]*${Math.round(floor.forceN)} N`));
  assert.ok(sections[bay].shapes.some((s) => s.role === 'sphere'));
  await page.getByRole('group', { name: 'Bay A1–A2 in section' }).waitFor();
  // What can't be is refused in words; nothing of all this is in the record.
  await write(page, 'Push', '20000');
  await calls(page, 'underPush', () => touch(page, 'button', 'Work it out'));
  await page.getByText(/20000 N is no push on a sphere/).waitFor();
  assert.deepEqual(await stands(host, job, run.bays[bay].subject, 'gaps'), []);
  assert.deepEqual(unexpected(wrong, ['underPush']), []);
});

test('a low spot between posts is said on the bay’s card and drawn', { timeout: 60_000 }, async (t) => {
  const { host, job, run, page, wrong } = await begin(t, 'low');
  const bay = run.bays.find((b) => b.name === 'A2–A3');
  await open(page, `${at(job, run)}?at=${encodeURIComponent(bay.subject)}`, 'Run A');
  const card = page.getByRole('dialog', { name: 'Bay A2–A3' });
  await say(card, page, 'Low spot of the floor', async (form) => {
    await write(form, 'Lowest floor level', '-35');
    await write(form, 'From the left post', '700');
  });
  await close(page, card);
  const figure = page.getByRole('group', { name: /^Run A, / });
  await figure.getByText('low −35', { exact: true }).waitFor();
  assert.deepEqual((await stands(host, job, bay.subject, 'lowSpot'))[0].value, { levelNm: -35_000_000, fromLeftNm: 700_000_000 });
  const { shapes } = await host.call('drawRun', { job, run: run.id });
  const low = shapes.find((s) => s.role === 'lowSpot');
  assert.deepEqual([low.text, low.subject], ['low −35', bay.subject]);
  // The floor is drawn down to it: a line ends right above the figure.
  assert.ok(shapes.some((s) => s.role === 'floor' && s.x2 === low.x && s.y2 < low.y), JSON.stringify(low));
  assert.deepEqual(unexpected(wrong), []);
});
