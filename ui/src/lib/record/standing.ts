// What each job in the list lacks and what comes next there, asked job by job so that a long list shows at once.
import { call } from '$lib/core/call';
import type { JobCard, Overview } from '$lib/generated/api';
import { words } from '$lib/words';

export interface Standing {
  missing: number;
  /** Pieces of evidence that stay away for a reason. */
  without: number;
  next: string;
  /** Something is to be done before the job is handed over. */
  toDo: boolean;
}

/** Reads what a job's handover lacks and its next act, from its book on this device. */
export async function loadStanding(job: string): Promise<Standing> {
  const [lacks, { act }] = await Promise.all([call('lacks', { job }), call('nextAct', { job })]);
  return { missing: lacks.lacking, without: lacks.waived, next: act?.sentence ?? '', toDo: act !== null && act.what !== 'handOver' };
}

/** Why a job's book can't be read on this device, where it can't: told in the program's own words. */
export function troubleOf(job: JobCard & { trouble?: string | null }): string {
  return job.trouble ?? '';
}

/** Whether a start may go on in a job that was left: it is kept here and can be read, and nothing is to be told before;
 *  of what a newer version recorded that is what was not told yet. */
export function goesOn(seen: Overview, job: string, newerTold: string | undefined): boolean {
  const newer = seen.newer !== newerTold && seen.newer;
  const told = [seen.trouble, seen.brokenOff, newer, ...seen.crews.map((c) => c.trouble)].some(Boolean);
  const card = seen.jobs.find((j) => j.job === job);
  return seen.person !== undefined && seen.person !== null && !told && card?.kept === true && !troubleOf(card);
}

/** What a job lacks, in words; empty when nothing is known to be lacking. */
export function lackWords(job: JobCard, standing: Standing | undefined): string[] {
  const w = words.jobs;
  return [
    job.disputed > 0 ? w.disputed(job.disputed) : '',
    job.openDefects > 0 ? w.defects(job.openDefects) : '',
    standing && standing.missing > 0 ? w.missing(standing.missing) : '',
    job.kept ? '' : w.notKept
  ].filter(Boolean);
}

/** Whether its title or address holds every word that was typed, in whatever case. */
export function isLike(job: JobCard, find: string): boolean {
  const text = `${job.title} ${job.place}`.toLocaleLowerCase();
  return find.toLocaleLowerCase().split(/\s+/).every((word) => text.includes(word));
}

/** Everybody whose job one of them is, each once, as a list of names is read. */
export function peopleOf(jobs: JobCard[]): string[] {
  return [...new Set(jobs.flatMap((job) => job.people))].toSorted((a, b) => a.localeCompare(b));
}

/** Whether it is this person's job; nobody chosen leaves all. */
export function isOf(job: JobCard, person: string): boolean {
  return person === '' || job.people.includes(person);
}

/** Jobs as a person wants them ordered; as they came where nothing was chosen. */
export function inOrderBy(sort: string, standing: Record<string, Standing>, jobs: JobCard[]): JobCard[] {
  const byTitle = (a: JobCard, b: JobCard) => a.title.localeCompare(b.title, undefined, { numeric: true });
  const lacks = (j: JobCard) => j.disputed + j.openDefects + (standing[j.job]?.missing ?? 0);
  if (sort === 'title') return jobs.toSorted(byTitle);
  if (sort === 'place') return jobs.toSorted((a, b) => a.place.localeCompare(b.place, undefined, { numeric: true }) || byTitle(a, b));
  return sort === 'lacking' ? jobs.toSorted((a, b) => lacks(b) - lacks(a) || byTitle(a, b)) : jobs;
}

/** Said of a job that lacks no evidence: how much of it stays away for a reason. */
export function wholeWords(standing: Standing | undefined): string {
  const without = standing?.without ?? 0;
  return [words.jobs.whole, without > 0 ? words.jobs.without(without) : ''].filter(Boolean).join(', ');
}

/** One sign for the row: a dispute first, then what is lacking or to be done, then that nothing is. */
export function lackSign(job: JobCard, standing: Standing | undefined): string {
  if (job.disputed > 0) return words.marks.disputed ?? '';
  if (!job.kept || !standing) return '';
  return standing.missing > 0 || job.openDefects > 0 || standing.toDo ? '○' : (words.marks.checked ?? '');
}
