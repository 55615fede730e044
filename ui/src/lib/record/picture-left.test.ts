import { beforeEach, expect, it, vi } from 'vitest';

const disk = new Map<string, string>();
vi.mock('$lib/core/kept-here', () => ({
  keepHere: (name: string, text: string | undefined) => void (text === undefined ? disk.delete(name) : disk.set(name, text)),
  namesHere: (beginning: string) => [...disk.keys()].filter((name) => name.startsWith(beginning)),
  readJsonHere: (name: string): unknown => JSON.parse(disk.get(name) ?? 'null')
}));

const { dropLeft, keepLeft, leftAt } = await import('./picture-left');

beforeEach(() => {
  vi.useFakeTimers();
  dropLeft('post:1-postFixing');
  disk.clear();
});

it('is on the disk before a camera opens, without waiting for a pause', () => {
  keepLeft('post:1-postFixing', { caption: 'A1 ba', shows: 'postFixing', opened: false });
  expect(disk.size).toBe(0);
  keepLeft('post:1-postFixing', { caption: 'A1 base', shows: 'postFixing', opened: true });
  expect(JSON.parse(disk.get('draft-picture-post:1-postFixing') ?? '')).toMatchObject({ typed: { caption: 'A1 base', opened: true } });
  expect(leftAt('post:1-postFixing')).toEqual({ caption: 'A1 base', shows: 'postFixing', opened: true });
  expect(leftAt('post:1-other')).toBeUndefined();
});

it('is gone once dropped, and what is something else counts as nothing', () => {
  keepLeft('post:1-postFixing', { caption: 'A1 base', shows: '', opened: true });
  dropLeft('post:1-postFixing');
  vi.runAllTimers();
  expect([disk.size, leftAt('post:1-postFixing')]).toEqual([0, undefined]);
  disk.set('draft-picture-post:1-postFixing', JSON.stringify({ atMs: 1, typed: { caption: 7 } }));
  expect(leftAt('post:1-postFixing')).toBeUndefined();
});
