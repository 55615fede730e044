// A quote survey by touch, led fact by fact: the button at the thumb leads to the first question, and each next one comes by
// itself. The finger's contacts with the glass are counted; what was told is read back through the list of commands.
import assert from 'node:assert/strict';
import test from 'node:test';
import { serve } from '../lib/host.js';
import { browser, countAnew, phone, quiet, touched, unexpected } from '../lib/phone.js';
import { at, named, touch } from '../lib/touch.js';
import { stands } from '../steps/ready.js';
import { newRun } from '../steps/survey.js';

/** A crew, a job with its rule set, a strand and a fitting set; the run is drawn by touch. */
async function begun(t, name) {
  const host = await serve(t, name);
  await host.call('foundCrew', { crew: 'Crew', person: 'Ann', role: 'surveyor' });
  const { created } = await host.call('beginJob', { title: 'Deck', place: '14 Quillback Rise' });
  const job = created.split(':')[1];
  await host.call('useRuleSet', { job, name: 'au-2022' });
  const { strands, fittingSets } = await host.call('libraries', {});
  await host.call('useStrand', { job, name: strands[0].key });
  await host.call('useFittingSet', { job, name: fittingSets[0].key });
  const { page, wrong } = await phone(await browser(t), host);
  await named(page, 'link', /Deck/).tap();
  await at(page, 'Deck');
  return { host, job, page, wrong };
}

/** The question that stands on screen. */
function question(page, name) {
  return page.getByRole('dialog', { name, exact: true });
}

const key = (name) => ({ taps: 1, tell: (card) => touch(card, 'button', name) });
/** The field has the focus as the question comes: it is typed, and kept with one touch. */
const typed = (text) => ({
  taps: 1,
  tell: async (card, page) => {
    await page.waitForFunction(() => document.activeElement?.tagName === 'INPUT');
    await page.keyboard.type(text);
    await touch(card, 'button', 'Keep');
  }
});
const all = (...names) => ({
  taps: names.length,
  tell: async (card) => {
    for (const name of names) await touch(card, 'button', name);
  }
});
const skip = { taps: 1, tell: (card) => touch(card, 'button', 'Skip this for now') };

const SITE = [
  ['A pool’s boundary?', key('No')],
  ['Children live or visit here?', key('Yes')],
  ['Fall (drop) beside the barrier', typed('1602')],
  ['What is below', key('paving')],
  ['Things to climb on', key('nothing near')],
  ['Distance to salt water or surf', typed('900')],
  ['Chlorine nearby?', key('No')],
  ['Washed by rain?', key('Yes')],
  ['Steel grade and why', key('316: salt or pool near')],
  ['Dissimilar metals that touch', key('galvanised bolts')],
  ['Drilling hazards', key('none found')],
  ['Access', key('from the garden')]
];
const RUN = [
  ['Carries the wire', 'Post A1', key('Post')],
  ['Base fixing', 'Post A1', all('base plate', 'Yes', 'Keep')],
  ['Rail joint', 'Post A1', key('Over the post')],
  ['Material', 'Post A1', key('hardwood')],
  ['Condition', 'Post A1', key('Sound')],
  ['Carries the wire', 'Post A2', key('Post')],
  ['Floor level', 'Post A2', typed('-4')],
  ['Carries the wire', 'Post A3', key('Post')],
  ['Base fixing', 'Post A3', key(/^As A1: /)],
  ['Rail joint', 'Post A3', key('Over the post')],
  ['Material', 'Post A3', key('hardwood')],
  ['Condition', 'Post A3', key('Sound')],
  ['Floor level', 'Post A3', typed('-9')],
  ['Template follows the floor?', 'Run A', key('Yes')],
  ['Rail follows the floor?', 'Run A', key('Yes')],
  ['Holes through posts lined with', 'Run A', key('Bare hole')],
  ['End post to wall', 'Post A1', skip],
  ['End post to wall', 'Post A3', typed('62')]
];

/** Tells one question; answers what it cost. */
async function told(page, name, about, { taps, tell }) {
  const card = question(page, name);
  await card.getByText(about, { exact: true }).waitFor();
  await tell(card, page);
  return taps;
}

test('a quote survey is led fact by fact, most of them one touch', { timeout: 180_000 }, async (t) => {
  const { host, job, page, wrong } = await begun(t, 'asked');
  // The hard question, before anything is drawn.
  await page.locator('.act').filter({ hasText: "is it a pool's boundary?" }).waitFor();
  await newRun(page);
  await quiet(page);
  await countAnew(page);
  const from = Date.now();
  await page.locator('.act').tap();
  let taps = 1;
  await at(page, 'Site');
  for (const [name, how] of SITE) taps += await told(page, name, 'Site', how);
  // On where the posts are: the drawing stands above the question.
  await at(page, 'Run A');
  for (const [name, about, how] of RUN) taps += await told(page, name, about, how);
  await page.getByRole('dialog').waitFor({ state: 'detached' });
  await quiet(page);
  assert.equal(await touched(page), taps);
  assert.equal(taps, 1 + SITE.length + RUN.length + 2);
  t.diagnostic(`${SITE.length + RUN.length} questions, ${taps} taps, ${((Date.now() - from) / 1000).toFixed(1)} s in the app`);
  // What is told leads on; what was skipped is not asked again here, and is there to be shown.
  await page.locator('.act').filter({ hasText: 'measure inside to inside' }).waitFor();
  const { runs: [run] } = await host.call('readJob', { job });
  const of = (subject, field, place) => stands(host, job, subject, field, place).then((words) => words.map((word) => word.value));
  assert.deepEqual(await of(`job:${job}`, 'pool'), [false]);
  assert.deepEqual(await of(`job:${job}`, 'fall'), [{ nm: 1_602_000_000 }]);
  assert.deepEqual(await of(`job:${job}`, 'saltDistance'), [{ nm: 900_000_000_000 }]);
  assert.deepEqual(await of(run.posts[2].subject, 'base'), [{ kind: 'base plate', seen: true }]);
  assert.deepEqual(await of(run.posts[2].subject, 'opening', 'endPostToWall'), [{ nm: 62_000_000 }]);
  assert.deepEqual(await of(run.posts[0].subject, 'opening'), []);
  const { act } = await host.call('nextAct', { job });
  assert.deepEqual([act.what, act.subject, act.left], ['tellFact', run.posts[0].subject, 1]);
  assert.deepEqual(unexpected(wrong), []);
});

test('a question that is left, read again, touched twice or answered oddly', { timeout: 120_000 }, async (t) => {
  const { host, job, page, wrong } = await begun(t, 'asked-left');
  await newRun(page);
  const said = async (field) => (await stands(host, job, `job:${job}`, field)).map((word) => word.value);
  await page.locator('.act').tap();
  const pool = question(page, 'A pool’s boundary?');
  await pool.getByText('Horizontal wires are often refused at pools.').waitFor();
  // Two fingers, or one twice: the second finds no question of its own.
  const no = named(pool, 'button', 'No');
  await no.waitFor();
  const { x, y, width, height } = await no.boundingBox();
  await no.tap();
  await page.touchscreen.tap(x + width / 2, y + height / 2);
  const children = question(page, 'Children live or visit here?');
  await children.waitFor();
  await quiet(page);
  assert.deepEqual([await said('pool'), await said('children')], [[false], []]);
  await touch(children, 'button', 'Skip this for now');
  const fall = question(page, 'Fall (drop) beside the barrier');
  for (const bad of ['', '😀', '9'.repeat(10_000)]) {
    await fall.getByRole('textbox').fill(bad);
    await touch(fall, 'button', 'Keep');
    await fall.locator('[aria-invalid=true], .flag').first().waitFor();
  }
  assert.deepEqual(await said('fall'), []);
  // The program itself refuses what is no length of a building.
  assert.match(wrong.splice(0).join(), /status of 400.*\/api\/say/);
  const kept = page.waitForResponse((r) => r.url().endsWith('/api/keep') && /draft-.*fall/.test(r.request().postDataJSON()?.name ?? '') && r.request().postDataJSON()?.value?.includes('1600'));
  await fall.getByRole('textbox').fill('1600');
  await kept;

  // Read anew half way: the screen stands without its question, and the button leads back to it with what was typed.
  await page.reload();
  await at(page, 'Site');
  assert.equal(await page.getByRole('dialog').count(), 0);
  await page.locator('.act').tap();
  await touch(fall, 'button', 'Go on');
  await touch(fall, 'button', 'Keep');
  const below = question(page, 'What is below');
  await below.getByRole('textbox').fill('🌿 garden');
  await touch(below, 'button', 'Keep');
  await question(page, 'Things to climb on').waitFor();
  assert.deepEqual([await said('fall'), await said('below')], [[{ nm: 1_600_000_000 }], ['🌿 garden']]);

  // Back closes the question and leaves the screen; what was skipped stays skipped.
  await page.goBack();
  await page.getByRole('dialog').waitFor({ state: 'detached' });
  await at(page, 'Site');
  await page.locator('.act').filter({ hasText: 'climb on' }).tap();
  const climb = question(page, 'Things to climb on');
  await touch(climb, 'button', 'Skip all questions');
  await climb.waitFor({ state: 'detached' });
  await page.locator('.act').waitFor({ state: 'detached' });
  await touch(page, 'link', 'Back');
  await at(page, 'Deck');
  await page.locator('.act').filter({ hasText: 'measure inside to inside' }).waitFor();
  assert.deepEqual(unexpected(wrong), []);
});
