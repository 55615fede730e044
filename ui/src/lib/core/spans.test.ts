import { describe, expect, it } from 'vitest';
import { spans } from './spans';

describe('numbers as people write them', () => {
  it('joins what follows one another, in any order and told twice', () => {
    expect(spans([3, 1, 2, 7, 7, 9, 10])).toBe('1–3, 7, 9–10');
    expect(spans([5])).toBe('5');
    expect(spans([])).toBe('');
  });
});
