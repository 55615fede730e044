import { describe, expect, it } from 'vitest';
import { RUN_SPREAD_NM, doubtLength, doubtTension } from './odd';

const mm = (v: number) => v * 1_000_000;
const wire3 = [{ name: 'wire 3', nm: mm(7297) }];

describe('doubtLength', () => {
  it('takes a fitting value', () => expect(doubtLength(mm(7300), wire3)).toEqual({ kind: 'fine' }));
  it('names inches typed for millimetres', () => {
    const doubt = doubtLength(mm(287), wire3);
    expect(doubt.kind).toBe('ask');
    expect(JSON.stringify(doubt)).toMatch(/25 times.*wire 3.*[Ii]nches/);
  });
  it('names millimetres typed for inches', () => expect(doubtLength(mm(7297 * 25.4), wire3).kind).toBe('ask'));
  it.each([
    [undefined, 'refuse'],
    [Number.NaN, 'refuse'],
    [0, 'refuse'],
    [mm(-5), 'refuse'],
    [mm(100_001), 'ask'],
    [mm(100_000), 'fine'],
    [mm(1_000_001), 'refuse']
  ])('%s is %s', (nm, kind) => expect(doubtLength(nm, []).kind).toBe(kind));
  it('asks about a digit that is off among wires of one run', () => {
    expect(doubtLength(mm(7205), wire3, false, RUN_SPREAD_NM).kind).toBe('ask');
    expect(doubtLength(mm(7305), wire3, false, RUN_SPREAD_NM).kind).toBe('fine');
  });
  it('lets a floor level fall below zero', () => expect(doubtLength(mm(-12), [], true).kind).toBe('fine'));
});

it('doubtTension', () => {
  expect(doubtTension(1500, 1800).kind).toBe('fine');
  expect(doubtTension(15100, 1800).kind).toBe('ask');
  expect(doubtTension(undefined, 1800).kind).toBe('refuse');
  expect(doubtTension(-1, 1800).kind).toBe('refuse');
});
