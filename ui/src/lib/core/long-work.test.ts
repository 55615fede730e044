import { beforeEach, expect, it, vi } from 'vitest';

const follow = vi.hoisted(() => vi.fn());
vi.mock('./task.svelte', () => ({ follow }));
import { begin, workOf } from './long-work.svelte';

beforeEach(() => {
  follow.mockReset();
});

it('is found again by its name while it runs and after its end', async () => {
  let end: (result: unknown) => void = () => undefined;
  follow.mockImplementation((task: string, seen: (s: unknown) => void) => {
    seen({ task, what: 'files', done: 1, total: 3, state: 'running', result: null });
    return new Promise((resolve) => (end = resolve));
  });
  const done = begin('handover-j', async () => 't1');
  await vi.waitFor(() => expect(workOf('handover-j').seen?.done).toBe(1));
  expect(workOf('handover-j').busy).toBe(true);
  expect(workOf('handover-k').busy).toBe(false);
  end({ folder: '/x' });
  await done;
  expect(workOf('handover-j')).toEqual({ busy: false, seen: undefined, result: { folder: '/x' }, fault: '' });
});

it('tells its fault, and forgets it when it is begun again', async () => {
  follow.mockRejectedValueOnce(new Error('The folder is full.'));
  await begin('handover-j', async () => 't2');
  expect(workOf('handover-j').fault).toBe('The folder is full.');
  follow.mockResolvedValueOnce(7);
  await begin('handover-j', async () => 't3');
  expect(workOf('handover-j')).toMatchObject({ fault: '', result: 7 });
});
