import { describe, expect, it } from 'vitest';
import { UNASKED, forBay, forWire, lacking, type Conditions } from './conditions';

const said: Conditions = { ...UNASKED, purpose: 'quote', posts: 'fixed', faces: 'postFaces', instrument: 'tape' };

describe('a run of which nothing was said', () => {
  it('asks everything of a wire, and makes no conditions of its own', () => {
    expect(lacking('wire', false, UNASKED)).toEqual(['purpose', 'posts', 'faces', 'instrument']);
    expect(forWire(UNASKED)).toBeUndefined();
  });
  it('asks of a bay what changes its figure', () => {
    expect(lacking('bay', false, UNASKED)).toEqual(['instrument']);
    expect(lacking('bay', true, UNASKED)).toEqual(['along', 'instrument']);
    expect(forBay({ ...UNASKED, instrument: 'tape' }, true)).toBeUndefined();
    expect(forBay({ ...UNASKED, instrument: 'tape' }, false)).toEqual({ along: 'level', instrument: 'tape' });
    expect(forBay({ ...UNASKED, instrument: 'laser', tool: 'l1' }, false)).toEqual({ along: 'level', instrument: 'laser', tool: 'l1' });
  });
});

it.each(['purpose', 'posts', 'faces', 'instrument'] as const)('without %s no wire can be read', (name) => {
  const { [name]: _, ...rest } = said;
  expect(forWire(rest)).toBeUndefined();
  expect(lacking('wire', false, rest)).toEqual([name]);
});

it('a quote reading stays one', () => {
  expect(lacking('wire', false, said)).toEqual([]);
  expect(forWire(said)).toEqual({ purpose: 'quote', posts: 'fixed', faces: 'postFaces', instrument: 'tape' });
});
