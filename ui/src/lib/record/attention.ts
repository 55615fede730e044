// What needs attention in a job, and how far each run has come, from the job as read. Pure.
import { newtons } from '$lib/core/format.svelte';
import { words } from '$lib/words';
import { gapOf } from './gaps';
import { isDone, steps } from './measuring';
import { ACTS, ticked } from './ticks';
import { crimpOf, cutOf, lastReading } from './wires';
import { valueOf, type Job, type Run, type Unsettled } from './view';

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
  const required = valueOf<{ requiredMn: number }>(run, 'tensions')?.requiredMn;
  for (const wire of run.wires) {
    const name = `${words.wireName(wire.number)}, ${words.runName(run.name)}`;
    const at = { run: run.id, room: '', subject: wire.subject };
    const last = lastReading(wire)?.newtons;
    if (last !== undefined && required !== undefined && last * 1000 < required) {
      flags.push({ kind: 'bad', text: words.tension.below(wire.number, newtons(last), newtons(required / 1000)), run: run.id, room: 'tension', subject: '' });
    }
    for (const post of [run.posts[0], run.posts.at(-1)]) {
      if (post && crimpOf(wire, post.id)?.result === 'reject') flags.push({ kind: 'bad', text: `${name}: ${words.states.rejected}, ${words.ends.of(post.name)}.`, ...at });
    }
  }
  for (const bay of run.bays) {
    if (gapOf(bay, run.id)?.result === 'passes') {
      flags.push({ kind: 'bad', text: `${words.bayName(bay.name)}: ${words.states.passes}.`, run: run.id, room: 'gaps', subject: '' });
    }
  }
  return flags;
}

function unsettledFlag(u: Unsettled): Flagged {
  const text = `${u.name.charAt(0).toUpperCase()}${u.name.slice(1)}: ${u.newer ? (words.states.newer ?? '') : words.dispute.title.toLowerCase()}.`;
  // The job itself has rooms for its facts, and no card.
  if (u.subject.startsWith('job:')) return { kind: 'warn', text, run: '', room: u.field === 'allowances' ? 'takeoff' : 'site', subject: '' };
  return { kind: 'warn', text, run: '', room: '', subject: u.subject };
}

function defectFlags(job: Job): Flagged[] {
  return job.defects
    .filter((d) => valueOf(d, 'closed') === undefined)
    .map((d) => ({ kind: 'warn' as const, text: `${words.defects.open}: ${d.name}`, run: '', room: 'defects', subject: '' }));
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
      return { done: run.wires.filter((w) => lastReading(w) !== undefined).length, of: run.wires.length };
    case 'gaps':
      return { done: run.bays.filter((b) => gapOf(b, run.id)?.result === 'stops').length, of: run.bays.length };
    default:
      return undefined;
  }
}
