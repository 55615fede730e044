// The next useful act, as the program sees it, and the room where it is done.
import { call } from '$lib/core/call';

export interface Next {
  text: string;
  detail: string;
  /** Run in whose room it is done; empty for a room of the job. */
  run: string;
  room: string;
}

/** Nothing when there is none, or it can't be told: the screens work without it. */
export async function loadNext(job: string): Promise<Next | undefined> {
  try {
    const found = (await call('nextAct', { job })) as { act: { sentence: string; run?: string; what: string } | null };
    return found.act ? { text: found.act.sentence, detail: '', run: found.act.run ?? '', room: '' } : undefined;
  } catch {
    return undefined;
  }
}
