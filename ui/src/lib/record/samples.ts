// Sample crimps of a job, and the one that the day's crimps refer to.
import { latest, repeatsOf, type Job } from './view';

/** The claim of the last sample, where it was good: crimps never refer past one that failed since. The program asks about one of another day. */
export function latestSample(job: Job | undefined): string | undefined {
  const last = latest(repeatsOf(job, 'sampleCrimp'));
  return (last?.value as { result?: string } | null | undefined)?.result === 'good' ? last?.tips[0]?.claim : undefined;
}
