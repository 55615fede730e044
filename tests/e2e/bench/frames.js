// How long frames take while a long run is scrolled and drawn closer: measured and told, never judged.
import { writeFile } from 'node:fs/promises';
import { join } from 'node:path';
import test from 'node:test';
import { folder, serve } from '../lib/host.js';
import { browser, phone } from '../lib/phone.js';
import { open } from '../steps/screens.js';
import { imported } from '../steps/surveyed.js';
import { survey, told } from './common.js';

const BAYS = 30;
const WIRES = 25;

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

const frameTimes = (times) => ({ ...told(times), over16: times.filter((ms) => ms > 17.5).length });

test(`frames of a run with ${BAYS} bays and ${WIRES} wires`, { timeout: 240_000 }, async (t) => {
  const file = join(await folder(t, 'survey'), 'survey.json');
  await writeFile(file, JSON.stringify(survey(1, BAYS, WIRES)));
  const host = await serve(t, 'frames');
  const job = await imported(host, file);
  const { page } = await phone(await browser(t), host);
  await open(page, `#/job/${job.job}/run/${job.runs[0].id}`, 'Run L1');
  const shapes = await page.evaluate(() => document.querySelectorAll('figure svg g > *').length);
  const figures = { shapes };
  for (const view of ['whole', 'toScale']) {
    if (view === 'toScale') await page.getByRole('button', { name: 'To scale' }).tap();
    for (const moves of ['scroll', 'page', 'closer', 'wheel']) figures[`${view} ${moves}`] = frameTimes(await page.evaluate(frames, moves));
  }
  for (const [name, of] of Object.entries(figures)) t.diagnostic(`${name}: ${JSON.stringify(of)}`);
  if (process.env.TAUTBOOK_FRAMES) await writeFile(process.env.TAUTBOOK_FRAMES, `${JSON.stringify(figures, null, 2)}\n`);
});
