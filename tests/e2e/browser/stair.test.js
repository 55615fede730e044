// A stair run made by touch, from the form to hole schedule and take-off; what it became is read back through the list of commands.
import assert from 'node:assert/strict';
import test from 'node:test';
import { serve } from '../lib/host.js';
import { browser, inTurn, phone, unexpected } from '../lib/phone.js';
import * as order from '../steps/order.js';
import * as stair from '../steps/stair.js';
import * as survey from '../steps/survey.js';

test('a stair run by touch, before anything is ordered', { timeout: 120_000 }, async (t) => {
  const { page, host, wrong } = await phone(await browser(t), await serve(t, 'stair'));
  const step = (name, act) => inTurn(t, name, act, [page]);
  await step('job and materials', async () => {
    await survey.firstStart(page, 'Ann', 'Surveyor');
    await survey.newJob(page);
    await survey.materials(page);
  });
  await step('the run, which is not kept without its slope', () => stair.newRun(page));
  await step('floor levels, a picture of a base, the stair triangle', () => stair.posts(page));
  await step('before ordering: along the slope, square to the wires', () => stair.beforeOrdering(page));
  await step('hole schedule of both faces', () => stair.holes(page));
  await step('take-off, each hand apart', () => order.takeOff(page, [...order.partsOf(8), 'angled seat 16']));
  await step('the record holds what was typed', async () => {
    const { jobs } = await host.call('overview', {});
    const job = await host.call('readJob', { job: jobs[0].job });
    const [run] = job.runs;
    const of = async (subject) => (await host.call('readSubject', { job: job.job, subject, history: false })).facts;
    const value = (facts, field) => facts.find((f) => f.field === field).words.find((w) => w.stands).value;
    const said = await of(`run:${run.id}`);
    assert.deepEqual(value(said, 'slope'), { riseNm: 178_000_000, goingNm: 250_000_000, risers: 9 });
    assert.equal(value(said, 'shape'), 'raked');
    const floors = await Promise.all(run.posts.map(async (p) => value(await of(p.subject), 'floor').nm / 1e6));
    assert.deepEqual(floors, [0, -774, -1549]);
    assert.deepEqual(job.photos.map((p) => [p.caption, p.shows[0].subject]), [['B1 base', run.posts[0].subject]]);
    const bays = await Promise.all(run.bays.map(async (b) => value(await of(b.subject), 'clear').nm / 1e6));
    assert.deepEqual(bays, [985, 985]);
  });
  await step('nothing else went wrong on any screen', () => assert.deepEqual(unexpected(wrong), []));
});
