import { afterEach, expect, it, vi } from 'vitest';
import { keepHere, readHere, readJsonHere } from './kept-here';
import { skip, skipNothing, skipped } from '../record/next';

function storage(refuses = false): Map<string, string> {
  const kept = new Map<string, string>();
  const refuse = () => { throw new Error('QuotaExceededError'); };
  vi.stubGlobal('localStorage', refuses ? { getItem: refuse, setItem: refuse, removeItem: refuse } : {
    getItem: (k: string) => kept.get(k) ?? null, setItem: (k: string, v: string) => void kept.set(k, v), removeItem: (k: string) => void kept.delete(k)
  });
  return kept;
}
afterEach(() => vi.unstubAllGlobals());

it('keeps, reads and forgets', () => {
  storage();
  keepHere('a', '1');
  expect(readHere('a')).toBe('1');
  keepHere('a', undefined);
  expect(readHere('a')).toBeUndefined();
});

it('takes what can’t be read for nothing', () => {
  storage().set('a', '{cut');
  expect(readJsonHere('a')).toBeNull();
  expect(readJsonHere('b')).toBeNull();
});

it('a browser that keeps nothing stops no screen', () => {
  storage(true);
  keepHere('a', '1');
  expect(readHere('a')).toBeUndefined();
  skip('j', 'x');
  expect(skipped('j')).toEqual([]);
});

it('remembers skipped acts job by job, each once', () => {
  storage();
  skip('j', 'x');
  skip('j', 'y');
  skip('j', 'x');
  skip('k', 'z');
  expect(skipped('j')).toEqual(['x', 'y']);
  skipNothing('j');
  expect([skipped('j'), skipped('k')]).toEqual([[], ['z']]);
});
