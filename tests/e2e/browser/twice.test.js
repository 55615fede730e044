// Two touches in one turn on what saves: the second comes before any screen could show that the first was heard.
import assert from 'node:assert/strict';
import test from 'node:test';
import { serve } from '../lib/host.js';
import { browser, phone, quiet, unexpected } from '../lib/phone.js';
import { at, choose, named, row, touch, write } from '../lib/touch.js';
import { open } from '../steps/screens.js';
import { stands } from '../steps/ready.js';

/** Touches it twice at once; the commands that the program was asked to do meanwhile. */
async function twice(page, button, act, counts = () => true) {
  const asked = [];
  const heard = (request) => {
    if (request.method() === 'POST' && counts(request.postDataJSON())) asked.push(new URL(request.url()).pathname.replace('/api/', ''));
  };
  page.on('request', heard);
  await button.evaluate((it) => {
    it.click();
    it.click();
  });
  await page.waitForFunction(() => globalThis.unanswered === 0);
  await quiet(page);
  page.off('request', heard);
  assert.deepEqual(asked.filter((name) => act.includes(name)), act);
}

test('two touches at once save one thing', { timeout: 120_000 }, async (t) => {
  const host = await serve(t, 'twice');
  const { page, wrong } = await phone(await browser(t), host);
  const button = (name, scope = page) => named(scope, 'button', name).first();
  await write(page, 'Your name', 'Ann');
  await write(page, 'Name of your crew', 'Crew');
  await choose(page, 'This device is mostly for', { index: 1 });
  await twice(page, button('Begin'), ['foundCrew']);

  await named(page, 'link', 'New job').tap();
  await at(page, 'New job');
  await write(page, 'Title', 'Deck');
  await write(page, 'Address', 'Port Hesper');
  await twice(page, button('Begin the job'), ['beginJob']);
  await at(page, 'Deck');
  const { jobs } = await host.call('overview', {});
  assert.deepEqual(jobs.map((j) => j.title), ['Deck']);
  const { job } = jobs[0];
  const read = () => host.call('readJob', { job });

  await open(page, `#/job/${job}/tools`, 'Tools');
  await touch(page, 'button', 'Add a tool');
  await write(page, 'Name or number', 'G-02');
  await choose(page, 'Kind', 'Tension gauge');
  await twice(page, button('Keep'), ['addThing']);
  assert.equal((await read()).tools.length, 1);
  await row(page, 'G-02');
  const card = page.getByRole('dialog', { name: 'G-02', exact: true });
  await touch(card, 'button', 'Note');
  await write(card, 'Note', 'Dropped once');
  await twice(page, button('Keep', card.getByRole('region', { name: 'Note' })), ['say']);
  assert.equal((await stands(host, job, (await read()).tools[0].subject, 'note')).length, 1);
  await touch(card, 'button', 'Close');

  await open(page, `#/job/${job}/materials`, 'Strand and fittings');
  await choose(page, 'Strand from the library', '3.2 mm 1x19, worked example');
  await twice(page, button('Copy the strand into the job'), ['useStrand']);
  assert.equal((await read()).strands.length, 1);

  await open(page, `#/job/${job}/new-run`, 'New run');
  const fields = { Run: 'A', 'End posts, width': '90', 'End posts, depth': '90', 'Posts between, width': '90', 'Posts between, depth': '90', 'Bays from the left, clear': '1380; 1410', 'Number of wires': '4', 'Bottom wire above the floor': '76', 'Wire to wire, centres': '76' };
  for (const [label, text] of Object.entries(fields)) await write(page, label, text);
  await choose(page, 'Level or raked', 'Level');
  await twice(page, button('Keep the run'), ['addThing'], (asked) => asked.thing === 'run');
  const { runs } = await read();
  assert.deepEqual(runs.map((r) => r.name), ['A']);
  const [run] = runs;

  const probe = [['name', 'probe 125'], ['kind', 'probe'], ['size', { nm: 125_000_000 }]];
  await host.call('addThing', { job, thing: 'tool', fields: probe.map(([field, value]) => ({ field, value })), confirmed: true });
  const [bay] = run.bays;
  await open(page, `#/job/${job}/run/${run.id}?at=${encodeURIComponent(bay.subject)}`, 'Run A');
  await twice(page, button(`All stop, ${bay.name}`), ['checkGaps']);
  assert.equal((await stands(host, job, bay.subject, 'gaps', run.id)).length, 1);
  assert.deepEqual(unexpected(wrong), []);
});
