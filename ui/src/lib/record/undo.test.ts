import { beforeEach, expect, it, vi } from 'vitest';
import type { Job } from './view';

const { withdrawEntries } = vi.hoisted(() => ({ withdrawEntries: vi.fn(() => Promise.resolve()) }));
const { call } = vi.hoisted(() => ({ call: vi.fn(() => Promise.resolve({})) }));
vi.mock('$lib/core/call', () => ({ call }));
vi.mock('./backend', async (original) => ({ ...(await original<typeof import('./backend')>()), loadJob: (id: string) => Promise.resolve({ id }), withdrawEntries }));

import { toasts } from '$lib/core/toasts.svelte';
import * as backend from './backend';
import { act, now } from './job.svelte';

const standing = (id: string) => (now.job = { id } as Job);
beforeEach(() => {
  toasts.list = [];
  withdrawEntries.mockClear();
});

it('goes to the job in which the act was done, whichever is on screen by then', async () => {
  standing('deck');
  await act(() => Promise.resolve({ entries: ['a', 'b'] }));
  standing('stair');
  await toasts.list.find((t) => t.undo)?.undo?.();
  expect(withdrawEntries).toHaveBeenCalledExactlyOnceWith('deck', ['a', 'b'], expect.any(String));
  expect(now.job?.id).toBe('stair');
});

it('takes all entries of an act back in one', async () => {
  const { withdrawEntries: real } = await vi.importActual<typeof backend>('./backend');
  await real('deck', ['a', 'b', 'c'], 'wrong');
  await real('deck', [], 'wrong');
  expect(call).toHaveBeenCalledExactlyOnceWith('withdraw', { job: 'deck', entry: 'a', more: ['b', 'c'], reason: 'wrong' });
});
