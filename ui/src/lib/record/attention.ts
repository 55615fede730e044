// What needs attention in a job, and how far each run has come, from the program's own answers. Pure; it judges nothing:
// which wire is below, rejected or disputed and which bay fails is `progress`, the same as on the drawing.
import { newtons, shortened } from '$lib/core/format.svelte';
import { words } from '$lib/words';
import { isDone, steps } from './measuring';
import { neededN } from './round';
import { ACTS, ticked } from './ticks';
import { cutOf } from './wires';
import { lineOf, valueOf, type Job, type Run, type Unsettled, type Wire } from './view';

export interface Flagged {
  kind: 'bad' | 'warn';
  text: string;
  run: string;
  room: string;
  /** The subject whose card opens, whatever it is; none when the room itself does. */
  subject: string;
}

export function flagsOf(job: Job): Flagged[] {
  return [...job.unsettled.map(unsettledFlag), ...job.runs.flatMap(runFlags), ...defectFlags(job)];
}

function runFlags(run: Run): Flagged[] {
  const flags: Flagged[] = [];
  for (const wire of run.wires) {
    // What is disputed or newer stands in the list of what is unsettled, with what it is about.
    for (const flag of wire.flags) {
      if (flag === 'over') flags.push({ kind: 'bad', text: overWords(run, wire), run: run.id, room: 'tension', subject: '' });
      if (flag === 'below') flags.push({ kind: 'bad', text: belowWords(run, wire), run: run.id, room: 'tension', subject: '' });
      if (flag === 'sags') flags.push({ kind: 'bad', text: sagWords(run, wire), run: run.id, room: '', subject: wire.subject });
      if (flag === 'thread') flags.push({ kind: 'bad', text: `${nameIn(run, wire)}: ${words.states.thread}.`, run: run.id, room: '', subject: wire.subject });
      if (flag === 'rejected') flags.push({ kind: 'bad', text: `${nameIn(run, wire)}: ${words.states.rejected}.`, run: run.id, room: '', subject: wire.subject });
    }
  }
  const again = run.wires.filter((w) => w.flags.includes('readAgain')).map((w) => w.number);
  if (again.length > 0) flags.push({ kind: 'warn', text: words.tension.readAgain(run.name, again), run: run.id, room: 'tension', subject: '' });
  for (const bay of run.bays) {
    if (bay.gaps === 'fails') flags.push({ kind: 'bad', text: `${words.bayName(bay.name)}: ${words.states.passes}.`, run: run.id, room: 'gaps', subject: '' });
  }
  return flags;
}

const nameIn = (run: Run, wire: Wire) => `${words.wireName(wire.number)}, ${words.runName(run.name)}`;

/** The reading that governs the wire: the lowest bay of its newest round. */
function belowWords(run: Run, wire: Wire): string {
  const reads = lineOf(run, wire)?.governing?.newtons;
  const needs = neededN(run.read);
  if (typeof reads !== 'number' || typeof needs !== 'number') return `${nameIn(run, wire)}: ${words.states.below}.`;
  return words.tension.below(wire.number, newtons(reads), newtons(needs));
}

/** What hung, with the table's limit, as the program tells it. */
function sagWords(run: Run, wire: Wire): string {
  const line = lineOf(run, wire);
  const told = line?.deflections.find((d) => line.sags.includes(d.entry));
  return `${nameIn(run, wire)}: ${told?.sentence ?? `${words.states.sags}.`}`;
}

/** The highest reading that stands over what nothing may exceed, or that its gauge's error may put there. */
export function overWords(run: Run, wire: Wire): string {
  const over = (lineOf(run, wire)?.readings ?? []).filter((r) => r.over && !r.replaced).sort((a, b) => (b.newtons ?? 0) - (a.newtons ?? 0))[0];
  const upper = run.read?.neverAboveN;
  if (typeof over?.newtons !== 'number' || typeof upper !== 'number') return `${nameIn(run, wire)}: ${words.states.over}.`;
  const [reads, most] = [newtons(over.newtons), newtons(upper)];
  if (lineOf(run, wire)?.readThere) return words.tension.letOut(wire.number, reads, over.bayName, most);
  return typeof over.mayCarryN === 'number' ? words.tension.mayBeOver(wire.number, reads, newtons(over.mayCarryN), most) : words.tension.over(wire.number, reads, most);
}

/** Where a fact of the job itself is settled, if not under Site. */
const JOB_ROOMS: Record<string, string> = { allowances: 'takeoff', cutting: 'plan' };

function unsettledFlag(u: Unsettled): Flagged {
  const text = `${u.name.charAt(0).toUpperCase()}${u.name.slice(1)}: ${u.newer ? (words.states.newer ?? '') : words.dispute.title.toLowerCase()}.`;
  // The job itself has rooms for its facts, and no card.
  if (u.subject.startsWith('job:')) return { kind: 'warn', text, run: '', room: JOB_ROOMS[u.field] ?? 'site', subject: '' };
  return { kind: 'warn', text, run: '', room: '', subject: u.subject };
}

function defectFlags(job: Job): Flagged[] {
  return job.defects
    .filter((d) => valueOf(d, 'closed') === undefined)
    .map((d) => ({ kind: 'warn' as const, text: `${words.defects.open}: ${shortened(d.name)}`, run: '', room: 'defects', subject: '' }));
}

/** How many are done of how many, per room of a run. */
export function countOf(run: Run, room: string): { done: number; of: number } | undefined {
  switch (room) {
    case 'measure': {
      const all = steps(run);
      return { done: all.filter(isDone).length, of: all.length };
    }
    case 'cuts':
      return { done: run.wires.filter((w) => cutOf(w) !== undefined).length, of: run.wires.length };
    case 'work':
      return { done: run.wires.reduce((n, w) => n + ACTS.filter((a) => ticked(w, a)).length, 0), of: run.wires.length * ACTS.length };
    case 'tension':
      return { done: run.wires.filter((w) => w.stage === 'tensioned' || w.stage === 'checked').length, of: run.wires.length };
    case 'gaps':
      return { done: run.bays.filter((b) => b.gaps === 'allStop').length, of: run.bays.length };
    default:
      return undefined;
  }
}
