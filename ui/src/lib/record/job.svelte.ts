// The job on screen and the one way to write to it. Reads everything anew after each act: the record is the truth.
import { loadJob, say, withdrawEntries, type NewClaim, type Recorded } from './backend';
import { say as tell, sayFault } from '$lib/core/toasts.svelte';
import { words } from '$lib/words';
import type { Job, Run } from './view';

export const now: { job: Job | undefined; fault: string; version: number } = $state({ job: undefined, fault: '', version: 0 });

/** Opens a job; the same job stays on screen while it is read again. */
export async function openJob(id: string): Promise<void> {
  if (now.job && now.job.id !== id) now.job = undefined;
  try {
    now.job = await loadJob(id);
    now.fault = '';
    now.version += 1;
  } catch (fault) {
    now.fault = fault instanceof Error ? fault.message : String(fault);
  }
}

export function runOf(id: string): Run | undefined {
  return now.job?.runs.find((r) => r.id === id);
}

/**
 * Does one act, reads the job anew and offers to undo it. Throws when nothing was kept.
 * Undo withdraws what the act recorded, with the first preset reason; an act that takes something back has none,
 * since nothing revives by itself.
 */
export async function act(work: (job: string) => Promise<Recorded>, said: string = words.kept, undoable = true): Promise<Recorded | undefined> {
  const job = now.job?.id;
  if (!job) return undefined;
  const made = await work(job);
  // Who went to another job meanwhile stays there.
  if (now.job?.id === job) await openJob(job);
  if (made.remarks?.length) sayFault(made.remarks.join(' '));
  tell(said, undoable && made.entries.length > 0 ? () => withdraw(made.entries, words.undoReasons[0] ?? words.undo, job) : undefined);
  return made;
}

/** `act` for handlers: a refusal is shown in words. True when it was kept. Where the program may ask first, see `core/asking.svelte`. */
export async function tryAct(work: (job: string) => Promise<Recorded>, said?: string, undoable = true): Promise<boolean> {
  try {
    await act(work, said, undoable);
    return true;
  } catch (fault) {
    sayFault(fault);
    return false;
  }
}

/** Keeps plain values, all in one act; an odd figure is questioned until `confirmed` says yes to it. */
export async function keep(claims: NewClaim[], confirmed = false): Promise<void> {
  if (claims.length > 0) await act((job) => say(job, claims, confirmed));
}

export async function tryKeep(claims: NewClaim[], said?: string): Promise<boolean> {
  return claims.length > 0 && tryAct((job) => say(job, claims), said);
}

/** Takes back what was said in the job on screen, or in another one where its undo is still on the glass. */
export async function withdraw(entries: string[], reason: string, job = now.job?.id): Promise<void> {
  if (!job) return;
  await withdrawEntries(job, entries, reason);
  if (now.job?.id === job) await openJob(job);
  tell(words.withdraw.done);
}
