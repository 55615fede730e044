// The whole job once through, by touch on three devices that share a folder, each with a host of its own.
// What the screens did is then read back through the list of commands.
import assert from 'node:assert/strict';
import { join } from 'node:path';
import test from 'node:test';
import { folder, serve } from '../lib/host.js';
import { browser, inTurn, phone, unexpected } from '../lib/phone.js';
import { go, row } from '../lib/touch.js';
import * as crew from '../steps/crew.js';
import * as install from '../steps/install.js';
import * as office from '../steps/office.js';
import * as order from '../steps/order.js';
import * as record from '../steps/record.js';
import * as survey from '../steps/survey.js';

test('the job from the first reading to the handover, by touch on three devices', { timeout: 300_000 }, async (t) => {
  const chrome = await browser(t);
  const shared = await folder(t, 'shared');
  const out = join(await folder(t, 'out'), 'handover');
  const ann = await phone(chrome, await serve(t, 'ann'));
  const ben = await phone(chrome, await serve(t, 'ben'));
  const desk = await phone(chrome, await serve(t, 'office'));
  const all = [ann, ben, desk];
  const step = (name, run) => inTurn(t, name, run, all.map((device) => device.page));

  await step('survey: first start, job, site, materials, run, posts, lengths', async () => {
    await survey.firstStart(ann.page, 'Ann', 'Surveyor');
    await survey.newJob(ann.page);
    await survey.site(ann.page);
    await survey.materials(ann.page);
    await survey.newRun(ann.page);
    await survey.posts(ann.page);
    await survey.measureForQuote(ann.page);
  });
  await step('a length read for a quote is refused for cutting', async () => {
    await order.quoteRefused(ann.page);
    await survey.measureForCutting(ann.page);
  });
  await step('before ordering: rows, margins, sources; holes, take-off; tensions decided', async () => {
    await order.beforeOrdering(ann.page);
    await order.holes(ann.page);
    await order.takeOff(ann.page, order.partsOf(4));
    await order.gauge(ann.page);
    await order.tensions(ann.page);
  });
  await step('cut sheet: the trial wire is released and its cut ticked', () => order.trialWire(ann.page));
  await step('share, join and admit, with digits compared on both screens', async () => {
    await crew.share(ann.page, shared);
    await survey.firstStart(ben.page, 'Ben', 'Installer');
    const onBen = await crew.join(ben.page, shared);
    const { asking, digits: onAnn } = await crew.applicant(ann.page, 'Ben');
    assert.equal(onBen, onAnn);
    await crew.confirmWrong(ben.page);
    await crew.confirm(ben.page, onAnn);
    await crew.admit(ann.page, asking, onBen);
    await crew.exchangeHome(ann.page);
    await crew.exchange(ben.page);
    await Promise.all([crew.toRun(ann.page), crew.toRun(ben.page)]);
  });
  await step('a length corrected apart is disputed on both, and blocked from cutting', async () => {
    await crew.correct(ann.page, '2882');
    await crew.correct(ben.page, '2888', true);
    await crew.exchangeAndReturn(ann.page);
    await crew.exchangeAndReturn(ben.page);
    await crew.exchangeAndReturn(ann.page);
    for (const { page } of [ann, ben]) {
      await crew.bothWords(page, [['Ann', '2882 mm'], ['Ben', '2888 mm']]);
      await crew.closeCard(page);
      await crew.blockedFromCutting(page);
    }
  });
  await step('measuring again settles it on both', async () => {
    await crew.settleByMeasuring(ann.page, '2884');
    await crew.exchangeAndReturn(ann.page);
    await crew.exchangeAndReturn(ben.page);
    for (const { page } of [ann, ben]) await crew.settled(page);
  });
  await step('one side of a second dispute is taken; the shared folder is looked over', async () => {
    await crew.correct(ann.page, '2885');
    await crew.correct(ben.page, '2884');
    await crew.exchangeAndReturn(ann.page);
    await crew.exchangeAndReturn(ben.page);
    await crew.exchangeAndReturn(ann.page);
    await crew.takeSide(ann.page, 'Ben');
    await crew.exchangeAndReturn(ann.page);
    await crew.exchangeAndReturn(ben.page);
    for (const { page } of [ann, ben]) await crew.settled(page);
    await crew.lookOver(ann.page);
  });
  await step('a dispute at a post leads to the post’s own card', async () => {
    await crew.sayAtPost(ann.page, 'A2', 'Rail joint', 'Butted against it');
    await crew.sayAtPost(ben.page, 'A2', 'Rail joint', 'Over the post');
    await crew.exchangeAndReturn(ann.page);
    await crew.exchangeAndReturn(ben.page);
    await crew.exchangeAndReturn(ann.page);
    await crew.settleAtPost(ann.page, 'A2', 'Rail joint', 'Ben');
    await crew.exchangeAndReturn(ann.page);
    await crew.exchangeAndReturn(ben.page);
    for (const { host } of [ann, ben]) assert.equal(await record.railJoint(host), 'overThePost');
  });
  await step('sample crimp, release, ticks, a wire made anew', async () => {
    await install.sampleCrimp(ben.page);
    await install.fitTrialWire(ben.page);
    await install.readTrialWire(ben.page);
    await install.release(ben.page, 3, ['1', '3', '4']);
    await install.tickAll(ben.page);
    await install.remake(ben.page);
    await install.release(ben.page, 1, ['3']);
    await install.tickAll(ben.page, true);
  });
  await step('a tension round, set once; a recheck', () => install.tension(ben.page));
  await step('gap checks: one passes, then all stop', () => install.gaps(ben.page));
  await step('a picture from a file; a defect opened and closed', async () => {
    await install.picture(ben.page);
    await install.defect(ben.page);
  });
  await step('the office joins', async () => {
    await crew.exchangeHome(ben.page);
    await survey.firstStart(desk.page, 'Cleo', 'Office');
    const onDesk = await crew.join(desk.page, shared);
    await crew.exchangeHome(ann.page);
    const { asking, digits: onAnn } = await crew.applicant(ann.page, 'Cleo');
    assert.equal(onDesk, onAnn);
    await crew.confirm(desk.page, onAnn);
    await crew.admit(ann.page, asking, onDesk, 'Office');
    await crew.exchange(ann.page);
    await crew.exchange(desk.page);
  });
  await step('office: what is missing, and the handover', async () => {
    await go(desk.page, 'link', 'Back', 'Jobs');
    await row(desk.page, survey.JOB, survey.JOB);
    const lacking = await office.missing(desk.page);
    await office.handover(desk.page, out, lacking);
    await crew.exchangeFrom(desk.page, survey.JOB);
    await crew.exchange(ann.page);
    await crew.exchange(ben.page);
  });
  await step('the record holds what the screens did, and all devices the same', async () => {
    await record.holds(ann.host);
    await record.same(ann.host, ben.host);
    await record.same(ann.host, desk.host);
    await record.handedOver(out);
  });
  await step('nothing else went wrong on any screen', () => {
    assert.deepEqual(unexpected(ann.wrong, ['issueCuts']), []);
    assert.deepEqual(unexpected(desk.wrong), []);
    // The wrong digits were meant to be refused, and presses to be asked about: before anything was looked at, and of wires
    // that came after the look, the others' and the one that was made anew.
    assert.deepEqual(unexpected(ben.wrong, ['confirmJoin', 'tickWires', 'tickWires', 'tickWires', 'issueCuts', 'issueCuts', 'checkGaps']), []);
  });
});
