import { describe, expect, it } from 'vitest';
import type { AnotherTrial } from '$lib/generated/api';
import { furtherTrial, onBar } from './trial';

describe('one more trial wire', () => {
  const told = (worth: boolean, stage: AnotherTrial['stage']) => ({ another: { worth, stage, wire: 7 } as AnotherTrial });
  it('is offered while it is worth its cost and a wire is left to cut', () => {
    for (const stage of ['release', 'make', 'read'] as const) {
      expect(furtherTrial(told(true, stage), true)?.wire).toBe(7);
      expect(furtherTrial(told(false, stage), true)).toBeUndefined();
      expect(furtherTrial(told(true, stage), false)).toBeUndefined();
    }
    expect(furtherTrial({ another: null }, true)).toBeUndefined();
  });
});

describe('a window as a bar', () => {
  const cut = { aimMm: 7235, shortestMm: 7225, longestMm: 7245, spreadMm: 5 };
  it('puts window, aim and spread where they lie', () => {
    expect(onBar(cut, 7215, 7255)).toEqual({ start: 25, end: 75, aim: 50, low: 37.5, high: 62.5 });
  });
  it('ends at the ends of the bar', () => {
    expect(onBar({ ...cut, spreadMm: 30 }, 7225, 7245)).toEqual({ start: 0, end: 100, aim: 50, low: 0, high: 100 });
  });
});
