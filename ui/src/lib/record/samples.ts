// Sample crimps of a job, and the one that the day's crimps refer to.
import { latest, repeatsOf, type Job } from './view';

/** The claim of the last sample that was good, if there is one. */
export function latestSample(job: Job | undefined): string | undefined {
  const good = repeatsOf(job, 'sampleCrimp').filter((k) => (k.value as { result?: string } | null)?.result === 'good');
  return latest(good)?.tips[0]?.claim;
}
