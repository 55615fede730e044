// What an exchange brought that people have to settle: said when it comes, with the way there. Pure.
import { nameOf } from './names';
import type { Job } from './view';
import { cardAt } from './where';

export interface Came {
  text: string;
  href: string;
}

const key = (job: string, u: { subject: string; field: string }) => [job, u.subject, u.field].join(' ');

/** What is in dispute now, by its key; what a newer version changed is none. */
export function disputesOf(jobs: Job[]): Map<string, Came> {
  return new Map(jobs.flatMap((job) => job.unsettled.filter((u) => !u.newer).map((u): [string, Came] => [
    key(job.id, u),
    { text: `${job.name}: ${nameOf(job, u.subject)}`, href: cardAt(job, u.subject) }
  ])));
}

/** Disputes that were not there before. */
export function cameWith(before: Map<string, Came>, after: Map<string, Came>): Came[] {
  return [...after].filter(([k]) => !before.has(k)).map(([, came]) => came);
}
