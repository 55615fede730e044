// What the journey leaves out, each by touch on one phone, then read back through the list of commands:
// ends, openings, the hung mass, documents, sign-offs, history, ties, the camera and its position.
import assert from 'node:assert/strict';
import { readFile } from 'node:fs/promises';
import { join } from 'node:path';
import test from 'node:test';
import { root, serve } from '../lib/host.js';
import { browser, inTurn, phone, unexpected } from '../lib/phone.js';
import { at, calls, go, named, row } from '../lib/touch.js';
import { decided } from '../steps/ready.js';
import * as site from '../steps/site.js';
import { surveyed } from '../steps/surveyed.js';

/** Facts of a subject by field and place, as they stand. */
async function facts(host, job, subject) {
  const { facts: list } = await host.call('readSubject', { job, subject, history: true });
  return (field, place = '') => list.filter((f) => f.field === field && f.place === place).flatMap((f) => f.words.filter((w) => w.stands));
}

test('the rest of the job, by touch', { timeout: 200_000 }, async (t) => {
  const host = await serve(t, 'site');
  const first = await surveyed(host);
  const [run] = first.runs;
  const { job } = first;
  const { page, wrong } = await phone(await browser(t), host);
  await page.evaluate((hash) => void (location.hash = hash), `#/job/${job}`);
  await at(page, first.title);
  const read = () => host.call('readJob', { job });
  const of = (subject) => facts(host, job, subject);
  const RUN = 'Run A';
  const step = (name, act) => inTurn(t, name, act, [page]);

  await step('tools, deliveries with what arrived, a visit and how the edge was left', async () => {
    await site.things(page, first.title);
    const now = await read();
    const thing = (list, name) => now[list].find((x) => x.name === name).subject;
    assert.equal((await of(thing('tools', 'M-2')))('massMg')[0].value, 2_003_000);
    const arrival = (await of(thing('batches', '3.2 strand, first')))('arrival')[0].value;
    assert.deepEqual(arrival, { countedLeft: 1, countedRight: 0, tried: false, remark: 'one reel short' });
    const safe = (await of(now.visits[0].subject))('leftSafe')[0].value;
    assert.deepEqual(safe, { how: 'boards across the opening', told: 'the owner' });
  });
  await step('a note, samples and spares, a document, a stage signed', async () => {
    await site.office(page, first.title);
    const now = await read();
    const said = await of(now.subject);
    assert.ok(said('note').some((w) => w.value === 'Dog in the yard'));
    const spare = said('allowances')[0].value;
    assert.deepEqual([spare.terminals, spare.sampleStrandNm], [{ sample: 2, scrap: 1, over: 1 }, 600_000_000]);
    assert.deepEqual(now.documents.map((d) => [d.caption, d.shows[0].evidence]), [['EL-017.pdf', 'engineersLetter']]);
    assert.deepEqual(now.signOffs.map((s) => [s.stage, s.statement, s.who]), [['survey', 'Measured as recorded here.', 'Ann']]);
  });
  await step('an opening of each kind; a number withdrawn from its history', async () => {
    await go(page, 'link', RUN, RUN);
    await site.openings(page);
    await site.withdrawn(page);
    const post = run.posts.find((p) => p.name === 'A1').subject;
    const { facts: list } = await host.call('readSubject', { job, subject: post });
    const openings = list.filter((f) => f.field === 'opening').flatMap((f) => f.words).filter((w) => w.value.result);
    assert.deepEqual(openings.map((w) => [w.with.kind, w.value.nm / 1e6, w.value.result]).sort(), [
      ['endPostToWall', 82, 'stops'], ['floorToBottomWire', 80, 'passes'], ['gateLeaf', 85, 'stops'], ['other', 86, 'stops'],
      ['postToDeckEdge', 83, 'stops'], ['stairTriangle', 84, 'stops'], ['topWireToRail', 81, 'stops']
    ]);
    const clear = (await of(run.bays[0].subject))('clear');
    assert.ok(!clear.some((w) => w.value?.nm === 1_379_000_000), 'the withdrawn number does not stand');
  });
  await step('the reel of a cut, both ends of a wire, the hung mass', async () => {
    await readyToCut(host, job, run);
    await page.reload();
    await at(page, RUN);
    await site.cutFrom(page, RUN);
    await site.ends(page);
    await site.hungMass(page, RUN);
    const wire = await of(`wire:${run.id}:6`);
    const reel = (await read()).batches.find((b) => b.name === '3.2 strand, second');
    assert.equal(wire('cut', '1')[0].value.batch, reel.subject.replace('batch:', ''));
    for (const [name, left, turns] of [['A1', 6, { turns: 14, flats: 3 }], ['A6', 7, { turns: 14, flats: 4 }]]) {
      const post = run.posts.find((p) => p.name === name).id;
      assert.equal(wire('threadLeft', post)[0].value.nm, left * 1e6);
      assert.deepEqual(wire('turns', post)[0].value, turns);
      assert.equal(wire('markHidden', post)[0].value, true);
      assert.equal(wire('markMoved', post)[0].value.nm, 0);
    }
    const bay = run.bays.find((b) => b.name === 'A4–A5').place;
    assert.deepEqual(wire('deflection', bay).map((w) => [w.value.nm, w.value.massMg, w.with.airCdeg]), [[5_500_000, 2_003_000, 2100]]);
  });
  await step('a first pass is on the way up, not below; a final reading below is', async () => {
    await site.firstPass(page, RUN);
    const { lines, requiredN } = await host.call('tensions', { job, run: run.id });
    assert.equal(requiredN, 1330);
    assert.deepEqual(lines[0].readings.map((r) => [r.newtons, r.stage, r.pass]), [[600, 'pass', 1], [1240, 'final', null]]);
  });
  await step('an opening where the probe passed is offered it again with its bay', async () => {
    await site.passedThenStopped(page, RUN);
    const { bays } = await host.call('progress', { job, run: run.id });
    assert.deepEqual([bays[0].gaps, bays[0].passesAbove], ['again', []]);
    await go(page, 'link', 'Back', first.title);
  });
  await step('evidence goes without for a reason, and is asked for again', async () => {
    const items = async () => (await host.call('lacks', { job })).items.filter((i) => i.waivedBecause !== null).map((i) => i.waivedBecause);
    await site.without(page);
    assert.deepEqual(await items(), ['Will follow']);
    await site.askedAgain(page, first.title);
    assert.deepEqual(await items(), []);
  });
  await step('a defect with pictures before and after; a picture tied anew', async () => {
    await site.defect(page, first.title);
    await site.retied(page, first.title);
    const now = await read();
    const post = now.runs[0].posts.find((p) => p.name === 'A4').subject;
    const shows = (caption) => now.photos.find((p) => p.caption === caption).shows.map((s) => [s.subject, s.evidence]);
    assert.deepEqual(shows('Rail, before'), [[post, 'railJoint']]);
    assert.deepEqual(shows('Rail, after'), [[now.defects[0].subject, 'defectAfter']]);
    assert.equal(now.defects[0].closed, 'Screwed down');
  });
  await step('the camera, with the position told, refused, and told late', async () => {
    await row(page, 'Site', 'Site');
    const taken = async (caption) => (await read()).photos.find((p) => p.caption === caption);
    await page.context().setGeolocation({ latitude: -33.25, longitude: 151.5, accuracy: 8 });
    await page.context().grantPermissions(['geolocation'], { origin: host.origin });
    // The first file carries another place, the others none.
    await site.fromCamera(page, 'Position told', 'orientation-6.jpg');
    assert.deepEqual((await taken('Position told')).position, [-33.25, 151.5]);

    await page.context().clearPermissions();
    await site.fromCamera(page, 'Position refused', 'no-offset.jpg');
    assert.equal((await taken('Position refused')).position, undefined);

    // A question that nobody answers until the picture is kept.
    await page.evaluate(() => {
      navigator.geolocation.getCurrentPosition = (found) => {
        window.answerPosition = () => found({ coords: { latitude: -40, longitude: 140, accuracy: 20 } });
      };
    });
    await site.fromCamera(page, 'Position late', 'png-named.jpg');
    assert.equal((await taken('Position late')).position, undefined);
    await calls(page, 'say', () => page.evaluate(() => window.answerPosition()));
    assert.deepEqual((await taken('Position late')).position, [-40, 140]);
    await go(page, 'link', 'Back', first.title);
  });
  await step('a survey file with faults lists each; one that is no survey says so and begins no job', async () => {
    await go(page, 'link', 'Back', 'Jobs');
    const many = join(root, 'fixtures/survey-bad/many-problems.json');
    // The job of its title and place is here: no second one of the same name.
    const jobs = async () => (await host.call('overview', {})).jobs.map((j) => j.title).toSorted();
    const here = await jobs();
    await site.badSurvey(page, many);
    await page.getByText(/A job of this title and place is here already .* nothing was imported/).first().waitFor();
    assert.deepEqual(await jobs(), here);
    const survey = JSON.parse(await readFile(many, 'utf8'));
    const other = { ...survey, job: { ...survey.job, title: 'Deck behind' } };
    const { card } = await site.badSurvey(page, { name: 'behind.json', mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(other)) });
    const problems = card.getByRole('list', { name: 'What did not go in, and doubts' });
    await problems.getByText('runs[0].posts[2].position').waitFor();
    assert.ok((await problems.getByRole('listitem').count()) > 3);
    await named(card, 'link', 'Open the job').waitFor();
    await named(card, 'button', 'Close').tap();
    const before = await jobs();
    assert.deepEqual(before, [...here, 'Deck behind'].toSorted());
    await site.badSurvey(page, join(root, 'fixtures/survey-bad/cut.json'));
    await page.getByText(/Nothing was/).first().waitFor();
    assert.deepEqual(await jobs(), before);
  });
  assert.deepEqual(unexpected(wrong, ['readEnd', 'readDeflection', 'readTension', 'checkGaps']), []);
});

/** Lengths for cutting, tensions and the trial wire's release, which the journey does by touch. */
async function readyToCut(host, job, run) {
  await decided(host, job, run);
  await host.call('issueCuts', { job, run: run.id, wires: '6' });
}
