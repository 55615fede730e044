import { describe, expect, it } from 'vitest';
import { crimpOf, cutOf, readings, standsAs } from './wires';
import type { Known, Wire } from './view';

const at = (ms: number) => ({ ms, offsetMin: 0, suspect: false });
function known(field: string, place: string, value: unknown, context: Record<string, unknown>, ms = 0): Known {
  return { subject: 'wire:r:7', field, place, standing: 'agreed', value, tips: [{ claim: `${field}${ms}`, value, who: 'ben', at: at(ms), context }] };
}
const wire = (more: Partial<Wire>): Wire => ({ subject: 'wire:r:7', id: 'r:7', name: 'Wire 7', number: 7, state: 'none', flags: [], stage: 'none', looked: false, interpolated: false, piece: 2, facts: {}, repeats: {}, ...more });

describe('a remade wire', () => {
  const w = wire({
    facts: { 'cut@1': known('cut', '1', { nm: 1 }, {}), 'cut@2': known('cut', '2', { nm: 2 }, {}) },
    repeats: {
      tension: [
        known('tension', 'a:b', { mn: 1_240_000 }, { piece: 1, stage: 'pass' }, 1),
        known('tension', 'a:b', { mn: 1_495_000 }, { piece: 2, stage: 'final', airCdeg: 2400 }, 3),
        known('tension', 'a:b', { mn: 1_390_000 }, { piece: 2, stage: 'pass' }, 2)
      ],
      crimp: [known('crimp', 'p', { result: 'reject' }, { piece: 1 }, 1), known('crimp', 'p', { result: 'good' }, { piece: 2 }, 2)]
    }
  });
  it('shows only what belongs to the piece in place', () => {
    expect(cutOf(w)).toBe(2);
    expect(readings(w).map((r) => r.newtons)).toEqual([1390, 1495]);
    expect(readings(w).at(-1)?.airC).toBe(24);
    expect(crimpOf(w, 'p')?.result).toBe('good');
  });
});

describe('standsAs', () => {
  it('tells all that stands out, in the program’s order', () => {
    expect(standsAs(wire({ state: 'disputed', flags: ['disputed', 'below'], stage: 'fitted' }))).toBe('disputed, below the required tension');
  });
  it('tells how far a wire has come where nothing does', () => {
    expect(standsAs(wire({ state: 'cut', stage: 'cut' }))).toBe('cut');
    expect(standsAs(wire({ state: 'interpolated', stage: 'measured', interpolated: true }))).toBe('interpolated');
  });
});
