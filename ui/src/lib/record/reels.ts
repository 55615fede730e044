// Which delivery of strand a wire is cut from: chosen once for a run, said beside every cut. Pure.
import { valueOf, type Job, type Run, type Thing } from './view';

/** The choice as remembered; nothing said yet while `batch` is undefined, `''` when it is not known. */
export interface Reel {
  batch: string | undefined;
}

/** How near a delivery's strand is to the run's: told as the same, not told, told as another. */
function apart(run: Run | undefined, reel: Thing): 0 | 1 | 2 {
  const [its, own] = [valueOf<string>(reel, 'strand'), valueOf<string>(run, 'strand')];
  if (its === undefined || own === undefined) return 1;
  return its === own ? 0 : 2;
}

/** Deliveries of strand: those of the run's own first, those of another last. */
export function reelsIn(job: Job | undefined, run: Run | undefined): Thing[] {
  const reels = (job?.batches ?? []).filter((b) => valueOf<string>(b, 'kind') === 'strand');
  return reels.sort((a, b) => apart(run, a) - apart(run, b));
}

/** The delivery to say: the chosen one while it is there; where nothing was chosen the only one that is not told as another strand. */
export function reelOf(job: Job | undefined, run: Run | undefined, reel: Reel): string {
  const reels = reelsIn(job, run);
  if (reel.batch !== undefined) return reels.some((r) => r.id === reel.batch) ? reel.batch : '';
  const fit = reels.filter((r) => apart(run, r) < 2);
  return fit.length === 1 ? (fit[0]?.id ?? '') : '';
}

/** A delivery as it is chosen: its name, its reel, and its strand where the job has several. */
export function reelName(job: Job | undefined, reel: Thing): string {
  const strands = job?.strands ?? [];
  const strand = strands.length < 2 ? undefined : strands.find((s) => s.id === valueOf<string>(reel, 'strand'));
  return [reel.name, valueOf<string>(reel, 'reel'), strand?.name].filter(Boolean).join(', ');
}
