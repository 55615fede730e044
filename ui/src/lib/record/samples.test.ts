import { expect, it } from 'vitest';
import { latestSample } from './samples';
import type { Job } from './view';

const pulled = (claim: string, ms: number, result: string) => ({ value: { result }, standing: 'agreed', tips: [{ claim, at: { ms } }] });
const job = (...list: unknown[]) => ({ facts: {}, repeats: { sampleCrimp: list } }) as unknown as Job;

it('is the last one, where that was good: none is referred to past one that failed', () => {
  expect(latestSample(undefined)).toBeUndefined();
  expect(latestSample(job())).toBeUndefined();
  expect(latestSample(job(pulled('a', 1, 'good'), pulled('b', 2, 'good')))).toBe('b');
  expect(latestSample(job(pulled('b', 2, 'reject'), pulled('a', 1, 'good')))).toBeUndefined();
  expect(latestSample(job(pulled('a', 1, 'reject'), pulled('b', 2, 'good')))).toBe('b');
});
