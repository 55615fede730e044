// Follows one piece of long work to its end, and can end it early.
import { call } from './call';
import { ApiFault } from './transport';

export interface TaskSeen {
  task: string;
  what: string;
  done: number;
  total: number;
  state: string;
  result: unknown;
}

interface Answered extends TaskSeen {
  version: number;
  error: { code: string; message: string; retryable: boolean } | null;
}

/** Waits for progress until the work ends. Answers its result; throws its fault; nothing when it was cancelled. */
export async function follow(task: string, seen: (state: TaskSeen) => void): Promise<unknown> {
  let version: number | undefined;
  for (;;) {
    const state = (await call('task', { task, waitMs: 10_000, ...(version === undefined ? {} : { seen: version }) })) as Answered;
    version = state.version;
    seen(state);
    if (state.state === 'done') return state.result;
    if (state.state === 'cancelled') return undefined;
    if (state.state === 'failed') {
      const e = state.error;
      throw new ApiFault(e?.code ?? 'other', e?.message ?? state.what, e?.retryable ?? false);
    }
  }
}

export async function endTask(task: string): Promise<void> {
  await call('cancelTask', { task });
}
