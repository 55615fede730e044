// Which delivery of strand a wire is cut from: chosen once for a run, said beside every cut. Pure.
import { valueOf, type Job, type Thing } from './view';

/** The choice as remembered; nothing said yet while `batch` is undefined, `''` when it is not known. */
export interface Reel {
  batch: string | undefined;
}

/** Deliveries of strand. */
export function reelsIn(job: Job | undefined): Thing[] {
  return (job?.batches ?? []).filter((b) => valueOf<string>(b, 'kind') === 'strand');
}

/** The delivery to say: the chosen one while it is there; the only one where nothing was chosen. */
export function reelOf(job: Job | undefined, reel: Reel): string {
  const reels = reelsIn(job);
  if (reel.batch === undefined) return reels.length === 1 ? (reels[0]?.id ?? '') : '';
  return reels.some((r) => r.id === reel.batch) ? reel.batch : '';
}
