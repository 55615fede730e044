import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { HOLD_MS, Hold, isOnSite } from './glass.svelte';

beforeEach(() => void vi.useFakeTimers());
afterEach(() => void vi.useRealTimers());

it('opens only when it was held to the end, and once', () => {
  const done = vi.fn();
  const hold = new Hold(done);
  hold.begin();
  vi.advanceTimersByTime(HOLD_MS - 1);
  // A key that repeats begins again and again.
  hold.begin();
  expect(done).not.toHaveBeenCalled();
  vi.advanceTimersByTime(1);
  expect(done).toHaveBeenCalledTimes(1);
  vi.advanceTimersByTime(10 * HOLD_MS);
  expect(done).toHaveBeenCalledTimes(1);
});
it('what was let go counts for nothing', () => {
  const done = vi.fn();
  const hold = new Hold(done);
  for (let i = 0; i < 5; i++) {
    hold.begin();
    vi.advanceTimersByTime(HOLD_MS - 1);
    hold.end();
  }
  vi.advanceTimersByTime(HOLD_MS);
  expect(done).not.toHaveBeenCalled();
});
it('knows the rooms of measuring, work and rounds', () => {
  const of = (room: string) => isOnSite(`/job/[job]/run/[run]${room}`);
  expect(['/measure', '/work', '/tension', '/gaps'].every(of)).toBe(true);
  expect(['', '/cuts', '/layout', '/tensions'].some(of)).toBe(false);
  expect(isOnSite(null)).toBe(false);
});
