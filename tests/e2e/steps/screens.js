// Every screen of a job, and the way to each.
import assert from 'node:assert/strict';
import { quiet } from '../lib/phone.js';
import { at } from '../lib/touch.js';

const IN_JOB = {
  site: 'Site', rules: 'Rule sets', library: 'Library of the crew', ordering: 'Before ordering', materials: 'Strand and fittings', takeoff: 'Take-off', visits: 'Visits', tools: 'Tools',
  batches: 'Deliveries', sample: 'Sample crimp', plan: 'Cut plan', pictures: 'Pictures', defects: 'Defects', documents: 'Documents', signoffs: 'Sign-offs',
  missing: 'What is missing', handover: 'Handover', 'no-longer': 'No longer in the layout', 'new-run': 'New run'
};
const IN_RUN = { measure: 'Measure', tensions: 'Tension plan', cuts: 'Cut sheet', layout: 'Layout of wires', holes: 'Hole schedule', work: 'Ticks', tension: 'Tension', gaps: 'Gaps', push: 'Under a push' };

/** Every screen: its address, the title that it bears, and a name for its sight. */
export function screens(job) {
  const of = `#/job/${job.job}`;
  const at = (run, kind) => encodeURIComponent(run[kind][0].subject);
  return [
    ['#/', 'Jobs', 'jobs'], ['#/new', 'New job', 'new'], ['#/exchange', 'Exchange', 'exchange'], ['#/device', 'This device', 'device'], [of, job.title, 'job'],
    ...Object.entries(IN_JOB).map(([room, title]) => [`${of}/${room}`, title, room]),
    ...job.runs.flatMap((run) => [
      [`${of}/run/${run.id}`, `Run ${run.name}`, `run-${run.name}`],
      ...['wires', 'bays', 'posts'].map((kind) => [`${of}/run/${run.id}?at=${at(run, kind)}`, `Run ${run.name}`, `run-${run.name}-${kind}`]),
      ...Object.entries(IN_RUN).map(([room, title]) => [`${of}/run/${run.id}/${room}`, title, `run-${run.name}-${room}`])
    ]),
    // A question of the survey: of the site, of a post, of an opening.
    ...asked(job).map(([room, key, title, name]) => [`${of}/${room}?ask=${encodeURIComponent(key)}`, title, name]),
    // An old link, or one cut short.
    [`${of}/run/${'a'.repeat(26)}/tension`, 'No such screen', 'no-run']
  ];
}

/** Some of what the survey asks, each with the screen on which it stands. */
function asked({ subject, runs }) {
  const [run] = runs;
  const at = `run/${run.id}`;
  const post = run.posts.at(-1).subject;
  return [
    ['site', `tellFact/${subject}/pool`, 'Site', 'asked-pool'],
    [at, `tellFact/${post}/base`, `Run ${run.name}`, 'asked-base'],
    [at, `tellFact/${post}/end/${run.id}`, `Run ${run.name}`, 'asked-end'],
    [at, `tellFact/${post}/opening/endPostToWall`, `Run ${run.name}`, 'asked-opening']
  ];
}

/** Opens a screen as a page of its own and waits until all of it is there. */
export async function open(page, address, title) {
  // Another address is read by a page of its own: the old one must not be taken for it.
  const other = await page.evaluate((hash) => {
    const changes = location.hash !== hash;
    if (changes) globalThis.before = true;
    location.hash = hash;
    return changes;
  }, address);
  if (other) await page.waitForFunction(() => !globalThis.before);
  await at(page, title);
  if (/\?(at|ask)=/.test(address)) await page.getByRole('dialog').waitFor();
  await quiet(page);
  assert.equal(await page.getByText('Reading the record …').count(), 0, `${address} is read`);
}

/** Opens what a screen holds behind a touch: the form of another turning, the file that was written; answers whether there was any. */
export async function unfold(page, address) {
  let opened = false;
  const otherwise = page.getByRole('button', { name: /^Turned otherwise/ });
  if (address.endsWith('/tension') && (await otherwise.count()) > 0) {
    await otherwise.tap();
    await page.getByRole('textbox', { name: /^Flats at/ }).first().waitFor();
    opened = true;
  }
  if (address.endsWith('/holes')) {
    await page.getByRole('button', { name: 'Write the template', exact: true }).tap();
    await page.getByRole('button', { name: 'Save the PDF', exact: true }).waitFor();
    opened = true;
  }
  await quiet(page);
  return opened;
}
