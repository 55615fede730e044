// Where a thing of the record is looked at and settled: its card in a run, or its room of the job. Pure.
import { jobAt, runAt } from '$lib/core/at';
import type { Job } from './view';

/** Rooms of the job by kind of thing. */
const ROOMS: Record<string, string> = { wire: 'no-longer', bay: 'no-longer', job: 'site', tool: 'tools', batch: 'batches', visit: 'visits', strand: 'materials', fittingSet: 'materials', photo: 'pictures', document: 'documents', defect: 'defects' };

/** The run that a post, bay or wire stands in, or the run itself. */
export function runWith(job: Job, subject: string): string | undefined {
  return job.runs.find((r) => [r, ...r.posts, ...r.bays, ...r.wires].some((t) => t.subject === subject))?.id;
}

/** The address at which its card is open; `room` is where things of the job itself are looked at. */
export function cardAt(job: Job, subject: string, room?: string): string {
  const at = `?at=${encodeURIComponent(subject)}`;
  const [kind = '', id = ''] = subject.split(':');
  if (kind === 'run') return runAt(job.id, id);
  const run = runWith(job, subject);
  if (run) return runAt(job.id, run) + at;
  return jobAt(job.id, kind === 'job' ? (room ?? 'site') : ROOMS[kind] === undefined ? '' : `${ROOMS[kind]}${at}`);
}
