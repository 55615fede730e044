// The job on screen and the one way to write to it. Reads everything anew after each act: the record is the truth.
import { loadJob, withdrawClaims, writeClaims, type NewClaim } from './backend';
import { say, sayFault } from '$lib/core/toasts.svelte';
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
 * Keeps one act and offers to undo it. Throws when nothing was kept.
 * Undo withdraws what this act claimed, with the first preset reason.
 */
export async function keep(claims: NewClaim[], said: string = words.kept): Promise<void> {
  const job = now.job;
  if (!job || claims.length === 0) return;
  const made = await writeClaims(job.id, claims);
  await openJob(job.id);
  say(said, () => withdraw(made, words.undoReasons[0] ?? words.undo));
}

/** `keep` for handlers: a refusal is shown in words. True when it was kept. */
export async function tryKeep(claims: NewClaim[], said?: string): Promise<boolean> {
  try {
    await keep(claims, said);
    return true;
  } catch (fault) {
    sayFault(fault);
    return false;
  }
}

export async function withdraw(claims: string[], reason: string): Promise<void> {
  const job = now.job;
  if (!job) return;
  await withdrawClaims(job.id, claims, reason);
  await openJob(job.id);
  say(words.withdraw.done);
}
