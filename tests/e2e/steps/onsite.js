// A phone on a run that is measured, decided and made so far, and what an act costs there in taps.
import assert from 'node:assert/strict';
import { serve } from '../lib/host.js';
import { browser, countAnew, phone, quiet, touched } from '../lib/phone.js';
import { decided, stands } from './ready.js';
import { surveyed } from './surveyed.js';

export const PRESSED = ['insertionMarked', 'leftEndPressed', 'threaded', 'rightEndPressed'];

/** A phone on a surveyed job with lengths and tensions; what is asked of wires is asked of run A. */
export async function onSite(t, name) {
  const host = await serve(t, name);
  const { job, runs: [run] } = await surveyed(host);
  await decided(host, job, run);
  const chrome = await browser(t);
  const { page, wrong } = await phone(chrome, host);
  const of = (subject, field, place) => stands(host, job, subject, field, place);
  return { host, job, run, chrome, page, wrong, of, in: `#/job/${job}/run/${run.id}`, wire: (n) => `wire:${run.id}:${n}` };
}

/** The trial wire is fitted; all others are released and through these acts. */
export async function made({ host, job, run }, acts) {
  const others = run.wires.map((w) => w.number).filter((n) => n !== 6);
  const tick = async (wires, act) => host.call('tickWires', { job, run: run.id, wires: wires.join(','), act, done: true, confirmed: true });
  await host.call('issueCuts', { job, run: run.id, wires: '6', confirmed: true });
  for (const act of ['cut', ...PRESSED, 'fitted']) await tick([6], act);
  await host.call('issueCuts', { job, run: run.id, wires: others.join(','), beforeTrial: 'Same strand as the trial wire', confirmed: true });
  for (const act of acts) await tick(others, act);
}

/** Does an act from where the crew stands and counts its taps; then asks the record whether it landed. */
export async function within(page, budget, what, act, landed) {
  await quiet(page);
  await countAnew(page);
  const began = performance.now();
  await act();
  const took = Math.round(performance.now() - began);
  await quiet(page);
  const taps = await touched(page);
  assert.ok(taps > 0, `${what}: nothing was touched`);
  assert.ok(taps <= budget, `${what}: ${taps} taps, at most ${budget}`);
  await landed();
  console.info(`${what}: ${taps} of ${budget} taps, ${took} ms in the app`);
}
