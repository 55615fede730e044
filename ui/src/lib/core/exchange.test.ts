// What the chip on every screen says of the exchange.
import { describe, expect, it } from 'vitest';
import type { ExchangeState } from '$lib/record/crew';
import { words } from '$lib/words';
import { allShared, inShort } from './exchange.svelte';

const state = (some: Partial<ExchangeState>): ExchangeState => ({
  folder: '/crew', joining: '', admitted: true, admits: false, forked: false, trouble: '', unshared: 0, lastMs: undefined,
  waiting: [], aside: [], strange: [], members: [], person: '', ...some
});

describe('how the exchange stands in short', () => {
  it.each([
    ['without a folder', state({ folder: '' }), words.exchange.here, false],
    ['all there', state({}), words.exchange.shared, true],
    ['some to send', state({ unshared: 3 }), words.exchange.toShare(3), false],
    // What it sent lies in the folder and counts with nobody yet.
    ['not admitted', state({ admitted: false }), words.exchange.notYet, false]
  ])('%s', (_, at, short, all) => {
    expect(inShort(at)).toBe(short);
    expect(allShared(at)).toBe(all);
  });
});
