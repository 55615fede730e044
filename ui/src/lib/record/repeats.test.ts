import { describe, expect, it } from 'vitest';
import { apart, inTime, meanOf } from './repeats';
import type { Known } from './view';

const plain = (text: string) => text.replaceAll('\u00a0', ' ');
const read = (mm: number, ms: number, standing: Known['standing'] = 'agreed'): Known => ({
  subject: 'wire:r:1', field: 'length', place: '', standing, value: { nm: mm * 1e6 },
  tips: [{ claim: `${ms}`, value: { nm: mm * 1e6 }, who: 'Ann', at: { ms, offsetMin: 0, suspect: false }, context: {} }]
});

describe('repeats of a reading', () => {
  it('stand with the last one first, disputed ones apart from them', () => {
    expect(inTime([read(7294, 1), read(7296, 3), read(7290, 2, 'disputed')]).map((k) => k.tips[0]?.at.ms)).toEqual([3, 1]);
  });
  it('say how far they lie apart', () => {
    expect(plain(apart([read(7294, 1), read(7297, 2), read(7295, 3)]))).toBe('3 readings, 7294–7297 mm: 3 mm apart');
    expect(plain(apart([read(7294, 1), read(7294, 2)]))).toBe('2 readings, all alike');
    expect(apart([read(7294, 1)])).toBe('');
  });
  it('name the mean with half its range, as the program counts it', () => {
    expect(plain(meanOf(3, 1_500_000))).toBe('mean of 3, ± 1.5 mm');
    expect(meanOf(1, 0)).toBe('');
  });
});
