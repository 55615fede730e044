// How long frames take while a long run is scrolled and drawn closer: measured and told, never judged.
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import test from 'node:test';
import { folder, serve } from './lib/host.js';
import { browser, phone } from './lib/phone.js';
import { open } from './steps/screens.js';
import { imported } from './steps/surveyed.js';

const BAYS = 30;
const WIRES = 25;

/** A survey of one long run. */
function survey() {
  const posts = Array.from({ length: BAYS + 1 }, (_, i) => ({
    post: `L${i + 1}`,
    position: i * 1400,
    role: i === 0 || i === BAYS ? 'anchor' : 'intermediate',
    ...(i === 0 || i === BAYS ? { end: { kind: 'insert', hand: i === 0 ? 'LH' : 'RH', tensioner: true, angledSeat: false } } : {})
  }));
  const run = { name: 'L', surface: 'deck', shape: 'level', height: 2040, rail: { underside: 2005, thickness: 35 }, wires: { count: WIRES, bottom: 76, pitch: 76 }, strand: '3.2-1x19-worked', fittingSet: 'm6-insert-worked', followsFloor: true, railFollowsFloor: true, posts };
  return { format: 1, job: { title: 'A long run', place: 'Port Hesper' }, runs: [run], posts: posts.map(({ post }) => ({ name: post, section: { along: 90, across: 90 } })) };
}

/** In the page: frame times while `moves` are made one a frame, and while what follows them settles. */
function frames(moves) {
  const ways = {
    scroll: (i) => void (document.querySelector('figure .frame').scrollLeft = i * 12),
    page: (i) => window.scrollTo(0, (i % 30) * 12),
    closer: (i) => i % 20 === 0 && document.querySelectorAll('figcaption button')[i % 40 === 0 ? 2 : 1].click(),
    wheel: (i) => document.querySelector('figure .frame').dispatchEvent(new WheelEvent('wheel', { deltaY: Math.sin(i / 12) * 14, ctrlKey: true, clientX: 195, clientY: 300, bubbles: true, cancelable: true }))
  };
  return new Promise((done) => {
    const times = [];
    let last = performance.now();
    let i = 0;
    const frame = (now) => {
      if (i > 0) times.push(now - last);
      last = now;
      if (i === 180) return done(times);
      ways[moves](i);
      i += 1;
      requestAnimationFrame(frame);
    };
    requestAnimationFrame(frame);
  });
}

function told(times) {
  const sorted = [...times].sort((a, b) => a - b);
  const at = (share) => Number((sorted[Math.floor((sorted.length - 1) * share)] ?? 0).toFixed(1));
  return { median: at(0.5), p95: at(0.95), most: at(1), over16: sorted.filter((ms) => ms > 17.5).length, frames: sorted.length };
}

test(`frames of a run with ${BAYS} bays and ${WIRES} wires`, { timeout: 240_000 }, async (t) => {
  const file = join(await folder(t, 'survey'), 'survey.json');
  await writeFile(file, JSON.stringify(survey()));
  const host = await serve(t, 'frames');
  const job = await imported(host, file);
  const { page } = await phone(await browser(t), host);
  await open(page, `#/job/${job.job}/run/${job.runs[0].id}`, 'Run L');
  const shapes = await page.evaluate(() => document.querySelectorAll('figure svg g > *').length);
  const figures = { shapes };
  for (const view of ['whole', 'toScale']) {
    if (view === 'toScale') await page.getByRole('button', { name: 'To scale' }).tap();
    for (const moves of ['scroll', 'page', 'closer', 'wheel']) figures[`${view} ${moves}`] = told(await page.evaluate(frames, moves));
  }
  for (const [name, of] of Object.entries(figures)) t.diagnostic(`${name}: ${JSON.stringify(of)}`);
  if (process.env.TAUTBOOK_FRAMES) await writeFile(process.env.TAUTBOOK_FRAMES, `${JSON.stringify(figures, null, 2)}\n`);
});
