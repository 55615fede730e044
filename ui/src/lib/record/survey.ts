// A survey file on its way into the record: bytes in pieces, then long work that checks the file whole.
import { call } from '$lib/core/call';
import { sent } from '$lib/core/pieces';
import { follow, type TaskSeen } from '$lib/core/task.svelte';

/** What an import ends with, as far as a screen shows it. */
export interface Imported {
  job: string;
  /** Counts by part. */
  recorded: Record<string, number>;
  already: number;
  refused: number;
  questioned: number;
  problems: { path: string; outcome: string; message: string }[];
}

/**
 * Imports a survey into a new job, or into one that is there; `confirmed` says yes to values that
 * were questioned. Nothing is answered when it was cancelled: what was recorded so far stays.
 */
export async function importSurvey(file: File, seen: (state: TaskSeen) => void, job?: string, confirmed = false): Promise<Imported | undefined> {
  const { task } = await sent(file, (source) => call('startImport', { source, confirmed, ...(job ? { job } : {}) }));
  return (await follow(task, seen)) as Imported | undefined;
}

/** How many things were recorded, all parts together. */
export function recordedOf(made: Imported): number {
  return Object.values(made.recorded).reduce((sum, n) => sum + n, 0);
}
