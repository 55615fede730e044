// A job with one of each thing that people add to it, through the list of commands.
import { join } from 'node:path';
import { root } from '../lib/host.js';
import { exchange, joined } from './met.js';
import { decided } from './ready.js';

/** Pictures, a document, a defect, a visit, a tool, notes, a sign-off, and a word that two people differ on. */
export async function everything(host, job, other, shared) {
  const [run] = job.runs;
  const [post, next] = run.posts;
  const id = job.job;
  const file = (n) => ({ kind: 'file', path: join(root, `fixtures/photos/orientation-${n}.jpg`) });
  const thing = (kind, fields) => host.call('addThing', { job: id, thing: kind, fields: fields.map(([field, value]) => ({ field, value })), confirmed: true });
  const say = (subject, field, value) => host.call('say', { job: id, claims: [{ subject, field, value }], confirmed: true });
  await decided(host, id, run);
  for (const [n, caption, subject, evidence] of [[1, 'Gauge on wire 2', run.subject, 'gaugeOnWire'], [3, 'A1 base', post.subject, 'postFixing'], [6, 'A2 base', next.subject, 'postFixing']]) {
    const { created } = await host.call('addPhoto', { job: id, source: file(n), name: `${n}.jpg`, caption, shows: [{ subject, evidence }] });
    await host.call('markPicture', { job: id, picture: created, marks: [{ kind: 'ring', x: 300, y: 300, toX: 600, toY: 500 }, { kind: 'text', x: 600, y: 600, text: 'seen here, from the deck' }] });
  }
  await host.call('addDocument', { job: id, source: file(8), name: 'Letter', shows: [{ subject: job.subject, evidence: 'engineersLetter' }] });
  await thing('defect', [['found', 'Split at the base'], ['about', { subject: post.subject }]]);
  await thing('visit', [['day', '2026-08-01']]);
  await thing('tool', [['name', 'probe 125'], ['kind', 'probe'], ['size', { nm: 125_000_000 }]]);
  await say(post.subject, 'note', 'Soft at the foot');
  // Said apart: both stand, and they meet in the shared folder.
  await joined(host, other, shared, 'Ben');
  await say(post.subject, 'material', { name: 'Spotted gum' });
  await other.call('say', { job: id, claims: [{ subject: post.subject, field: 'material', value: { name: 'Ironbark' } }], confirmed: true });
  for (const one of [host, other, host]) await exchange(one);
  await host.call('signOff', { job: id, stage: 'survey', statement: 'Measured as recorded.' });
}
