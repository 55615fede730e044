import { describe, expect, it } from 'vitest';
import { between, readSpans, spans } from './spans';

describe('numbers as people write them', () => {
  it('joins what follows one another, in any order and told twice', () => {
    expect(spans([3, 1, 2, 7, 7, 9, 10])).toBe('1–3, 7, 9–10');
    expect(spans([5])).toBe('5');
    expect(spans([])).toBe('');
  });
});

describe('what people type for wires', () => {
  it('reads one, a span in any order, and a list of them', () => {
    expect(readSpans('1-12')).toEqual(between(1, 12));
    expect(readSpans('12 – 9')).toEqual([9, 10, 11, 12]);
    expect(readSpans('3 to 5')).toEqual([3, 4, 5]);
    expect(readSpans('7, 1-2; 7')).toEqual([1, 2, 7]);
  });
  it('reads what it writes', () => expect(readSpans(spans([1, 2, 3, 7, 9, 10]))).toEqual([1, 2, 3, 7, 9, 10]));
  it('takes nothing else for wires', () => {
    for (const text of ['', ' , ', 'all', '1-', '1-2-3', '-4', '1.5', '1234']) expect(readSpans(text)).toBeUndefined();
  });
});
