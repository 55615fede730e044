// What the record holds after the journey, through the list of commands, and what the handover's folder holds.
import assert from 'node:assert/strict';
import { createHash } from 'node:crypto';
import { readFile, readdir } from 'node:fs/promises';
import { join } from 'node:path';
import { root } from '../lib/host.js';
import { JOB } from './survey.js';

async function jobOf(host) {
  const { jobs } = await host.call('overview', {});
  assert.deepEqual(jobs.map((j) => j.title), [JOB]);
  return jobs[0].job;
}

/** The joint at post A2 as it stands here; nothing while it is disputed. */
export async function railJoint(host) {
  const { job, subject } = await postA2(host);
  const { facts } = await host.call('readSubject', { job, subject });
  const joint = facts.find((f) => f.field === 'railJoint');
  return joint.standing === 'agreed' ? joint.words.find((w) => w.stands).value : undefined;
}

async function postA2(host) {
  const job = await jobOf(host);
  const { runs } = await host.call('readJob', { job });
  return { job, subject: runs[0].posts.find((p) => p.name === 'A2').subject };
}

/** Every act of the journey stands in the record with its value. */
export async function holds(host) {
  const job = await host.call('readJob', { job: await jobOf(host) });
  assert.deepEqual(job.unsettled, []);
  assert.equal(job.runs.length, 1);
  const [run] = job.runs;
  assert.deepEqual(run.posts.map((p) => [p.name, p.role, p.positionMm]), [
    ['A1', 'anchor', 0], ['A2', 'intermediate', 1482.5], ['A3', 'anchor', 2995]
  ]);
  assert.deepEqual(run.bays.map((b) => [b.name, b.clearMm, b.measured]), [['A1–A2', 1380, true], ['A2–A3', 1410, true]]);
  // "All stop" tells it of the bay and anew of each opening that was told apart before.
  const lastOf = (bay, aboveWire) => bay.gaps.filter((g) => g.aboveWire === aboveWire).toSorted((a, b) => a.atMs - b.atMs).at(-1);
  const [first, second] = run.bays;
  for (const told of [lastOf(first, null), lastOf(first, 2), lastOf(second, null)]) assert.deepEqual([told.stops, told.probeMm], [true, 125]);
  assert.equal(second.gaps.length, 1);
  assert.ok(run.bays[0].gaps.some((g) => g.aboveWire === 2 && g.stops === false), 'the opening that let it through is not forgotten');
  assert.deepEqual([run.tensions.requiredMn, run.tensions.setMn, run.tensions.upperMn], [1_330_000, 1_500_000, 1_800_000]);
  assert.deepEqual(run.wires.map((w) => w.length.kind === 'cuttable' ? w.length.mm : w.length.kind), [2880, 2881, 'notMeasured', 2884]);
  assert.deepEqual(run.wires.map((w) => w.piece), [1, 1, 2, 1]);
  for (const wire of run.wires) {
    assert.equal(wire.cutMm, wire.issuedMm, `wire ${wire.number} was cut as it was released`);
    assert.equal(wire.done.length, 7, `every act of wire ${wire.number} is ticked`);
    const good = wire.crimps.filter((c) => c.piece === wire.piece && c.result === 'good');
    assert.equal(new Set(good.map((c) => c.post)).size, 2, `both crimps of wire ${wire.number} are good`);
  }
  assert.deepEqual(run.wires[2].crimps.filter((c) => c.result === 'reject').map((c) => c.reason), ['Mark not at the mouth']);
  const inOrder = (wire) => wire.tensions.toSorted((a, b) => a.atMs - b.atMs).map((r) => [r.stage, r.newtons]);
  assert.deepEqual(run.wires.map(inOrder), [
    [['pass', 1510]], [['pass', 1240], ['pass', 1495], ['recheck', 1420]], [['pass', 1490]], [['pass', 1505]]
  ]);
  for (const reading of run.wires.flatMap((w) => w.tensions)) {
    assert.equal(reading.who, 'Ben');
    assert.equal(reading.with.gauge, job.tools.find((tool) => tool.name === 'G-02').id);
    assert.equal(reading.with.airCdeg, reading.stage === 'recheck' ? 1900 : 2400, 'the air of its own round');
  }
  assert.deepEqual(job.samples.map((s) => [s.sample.pullMn, s.sample.heldS, s.sample.result]), [[3_700_000, 60, 'good']]);
  assert.deepEqual(job.defects.map((d) => [d.found, d.closed]), [['Pinched at A2', 'Hole eased, three flats more']]);
  await picturesKept(job);
  await siteSaid(host, job);
}

/** What was said of the site and of the posts, beside what any drawing tells. */
async function siteSaid(host, job) {
  const said = async (subject) => {
    const { facts } = await host.call('readSubject', { job: job.job, subject });
    return (field) => facts.find((f) => f.field === field)?.words.find((w) => w.stands);
  };
  const site = await said(job.subject);
  assert.deepEqual([site('certifier').value, site('permitDate').value, site('fall').value, site('pool').value], ['Port Hesper shire', '2026-09-14', { nm: 1_602_000_000 }, false]);
  const post = await said(job.runs[0].posts[0].subject);
  assert.deepEqual([post('floor').value, post('support').value.kind], [{ nm: 0 }, 'post']);
  const opening = post('opening');
  assert.deepEqual([opening.with.kind, opening.value.nm, opening.value.result], ['endPostToWall', 82_000_000, 'stops']);
}

/** The originals' bytes are those of the files. */
async function picturesKept(job) {
  assert.equal(job.photos.length, 2);
  for (const [caption, file, evidence] of [['Gauge on wire 2', 'orientation-6.jpg', 'gaugeOnWire'], ['A1 base', 'orientation-1.jpg', 'postFixing']]) {
    const photo = job.photos.find((p) => p.caption === caption);
    const bytes = await readFile(join(root, 'fixtures/photos', file));
    const original = photo.files.find((f) => f.role === 'original');
    assert.equal(original.sha256, createHash('sha256').update(bytes).digest('hex'));
    assert.equal(original.bytes, bytes.length);
    assert.equal(photo.shows[0].evidence, evidence);
  }
}

/** Devices with the same entries show the same state. */
export async function same(one, other) {
  const [here, there] = await Promise.all([one, other].map(async (host) => host.call('readState', { job: await jobOf(host) })));
  assert.match(here.hash, /^[0-9a-f]{64}$/);
  assert.equal(here.hash, there.hash);
}

/** A document that is a PDF, and sums over the files. */
export async function handedOver(folder) {
  const files = await readdir(folder, { recursive: true });
  const pdf = files.filter((f) => f.endsWith('.pdf'));
  assert.equal(pdf.length, 1, files.join(' '));
  assert.equal((await readFile(join(folder, pdf[0]))).subarray(0, 5).toString('latin1'), '%PDF-');
  const sums = files.find((f) => /sums/i.test(f));
  assert.ok(sums, files.join(' '));
  const lines = (await readFile(join(folder, sums), 'utf8')).trim().split('\n');
  for (const line of lines) {
    const [, sum, name] = /^([0-9a-f]{64}) [ *](.+)$/.exec(line) ?? assert.fail(line);
    assert.equal(createHash('sha256').update(await readFile(join(folder, name))).digest('hex'), sum, name);
  }
  assert.ok(lines.length > 3);
}
