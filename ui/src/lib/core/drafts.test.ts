import { afterEach, beforeEach, expect, it, vi } from 'vitest';

const kept = new Map<string, string>();
vi.mock('./kept-here', () => ({
  keepHere: (name: string, text: string | undefined) => (text === undefined ? kept.delete(name) : kept.set(name, text)),
  readJsonHere: (name: string) => JSON.parse(kept.get(name) ?? 'null') as unknown,
  namesHere: (beginning: string) => [...kept.keys()].filter((n) => n.startsWith(beginning))
}));
const { draftSince, dropDraft, dropOldDrafts, keepDraft, keepDraftsNow, readDraft } = await import('./drafts');

beforeEach(() => {
  vi.useFakeTimers();
  kept.clear();
});
afterEach(() => vi.useRealTimers());

it('writes when typing pauses, not at every key', () => {
  keepDraft('w', '7');
  vi.advanceTimersByTime(300);
  keepDraft('w', '72');
  vi.advanceTimersByTime(300);
  expect(kept.size).toBe(0);
  // The same card opened again at once offers it all the same.
  expect(readDraft('w')).toBe('72');
  vi.advanceTimersByTime(100);
  expect(kept.size).toBe(1);
  expect(readDraft('w')).toBe('72');
});

it('writes at once when the app goes to the back', () => {
  keepDraft('w', { left: '5' });
  keepDraftsNow();
  expect(readDraft('w')).toEqual({ left: '5' });
  expect(kept.size).toBe(1);
});

it('what is saved or cancelled is dropped, also while it waits for a pause', () => {
  keepDraft('a', '1');
  keepDraftsNow();
  keepDraft('a', '12');
  dropDraft('a');
  vi.advanceTimersByTime(1000);
  expect([readDraft('a'), kept.size]).toEqual([undefined, 0]);
});

it('what stands undecided grows no younger by being kept again', () => {
  keepDraft('left', '1');
  keepDraftsNow();
  const since = draftSince('left');
  vi.advanceTimersByTime(29 * 86_400_000);
  keepDraft('left', '1', since);
  keepDraftsNow();
  expect([draftSince('left'), readDraft('left')]).toEqual([since, '1']);
  vi.advanceTimersByTime(2 * 86_400_000);
  dropOldDrafts();
  expect(readDraft('left')).toBeUndefined();
});

it('forgets what nobody came back to, and what can’t be read', () => {
  keepDraft('old', '1');
  keepDraftsNow();
  vi.advanceTimersByTime(29 * 86_400_000);
  keepDraft('new', '2');
  keepDraftsNow();
  kept.set('draft-strange', '"x"');
  kept.set('theme', '"dark"');
  vi.advanceTimersByTime(2 * 86_400_000);
  dropOldDrafts();
  expect([...kept.keys()]).toEqual(['draft-new', 'theme']);
});
