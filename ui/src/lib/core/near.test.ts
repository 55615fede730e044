import { afterEach, expect, test, vi } from 'vitest';
import { onceNear } from './near';

type Seen = (entries: { isIntersecting: boolean }[]) => void;

const element = {} as Element;

/** An observer that this test tells what it sees. */
function observer() {
  const made = { seen: (() => undefined) as Seen, ended: 0, margin: '' };
  class Watch {
    constructor(seen: Seen, options: { rootMargin: string }) {
      made.seen = seen;
      made.margin = options.rootMargin;
    }
    observe() {}
    disconnect() {
      made.ended += 1;
    }
  }
  vi.stubGlobal('IntersectionObserver', Watch);
  return made;
}

afterEach(() => vi.unstubAllGlobals());

test('what is far away waits, and is told once when it comes near', () => {
  const made = observer();
  const told = vi.fn();
  onceNear(element, told);
  made.seen([{ isIntersecting: false }]);
  expect([told.mock.calls.length, made.ended, made.margin]).toEqual([0, 0, '100% 0px']);
  made.seen([{ isIntersecting: false }, { isIntersecting: true }]);
  expect([told.mock.calls.length, made.ended]).toEqual([1, 1]);
});

test('what is taken off the page before it came near is waited for no longer', () => {
  const made = observer();
  const told = vi.fn();
  onceNear(element, told)?.();
  expect([told.mock.calls.length, made.ended]).toEqual([0, 1]);
});

test('where the page can not tell, all is near', () => {
  const told = vi.fn();
  vi.stubGlobal('IntersectionObserver', undefined);
  expect(onceNear(element, told)).toBeUndefined();
  expect(told).toHaveBeenCalledOnce();
});
