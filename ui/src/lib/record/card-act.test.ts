import { describe, expect, it } from 'vitest';
import { postAct, wireAct } from './card-act';
import type { Known, Post, Run, Wire } from './view';

const fact = (field: string, place: string, value: unknown, standing: Known['standing'] = 'agreed'): Known => ({ subject: 's', field, place, standing, value, tips: [] });
function wire(stage: Wire['stage'], more: Partial<Wire> = {}, done: string[] = []): Wire {
  const facts: Wire['facts'] = Object.fromEntries(done.map((act) => [`done@${act}/1`, fact('done', `${act}/1`, true)]));
  return { subject: 'wire:r:4', id: 'r:4', name: '4', number: 4, piece: 1, state: stage, flags: [], looked: false, interpolated: false, repeats: {}, stage, ...more, facts: { ...facts, ...more.facts } };
}
const run = { id: 'r', name: 'A', posts: [], wires: [] } as unknown as Run;
const told = (w: Wire) => {
  const act = wireAct('j', run, w);
  return act && [act.text, act.href];
};
const issued = { 'cutIssued@1': fact('cutIssued', '1', { cutNm: 1 }) };
const cut = { 'cut@1': fact('cut', '1', { nm: 1 }) };

describe('what is next for a wire', () => {
  it.each([
    ['nothing measured', wire('none'), 'Wire 4: measure', 'measure?wire=4'],
    ['a length that stands', wire('measured'), 'Wire 4: release for cutting', 'cuts'],
    ['released', wire('measured', { facts: issued }), 'Wire 4: cut', 'work?act=cut'],
    ['released, and moved since', wire('measured', { facts: issued, releaseMoved: 'the sheet gives 7243 mm for it now' }), 'Wire 4: look at its release before it is cut', 'cuts'],
    ['released, and refused since', wire('none', { facts: issued, releaseMoved: 'people differ' }), 'Wire 4: look at its release before it is cut', 'cuts'],
    ['cut', wire('cut', { facts: cut }), 'Wire 4: mark how far the strand goes in', 'work?act=insertionMarked'],
    ['an end pressed without that mark', wire('cut', { facts: cut }, ['leftEndPressed']), 'Wire 4: mark how far the strand goes in', 'work?act=insertionMarked'],
    ['both ends pressed without it', wire('cut', { facts: cut }, ['leftEndPressed', 'rightEndPressed', 'threaded']), 'Wire 4: fit both ends', 'work?act=fitted'],
    ['marked', wire('cut', { facts: cut }, ['insertionMarked']), 'Wire 4: press the left end', 'work?act=leftEndPressed'],
    ['one end made', wire('cut', { facts: cut }, ['insertionMarked', 'leftEndPressed']), 'Wire 4: thread it', 'work?act=threaded'],
    ['threaded', wire('cut', { facts: cut }, ['insertionMarked', 'leftEndPressed', 'threaded']), 'Wire 4: press the right end', 'work?act=rightEndPressed'],
    ['pressed', wire('cut', { facts: cut }, ['leftEndPressed', 'threaded', 'rightEndPressed']), 'Wire 4: fit both ends', 'work?act=fitted'],
    ['read before its ends were ticked', wire('read', { facts: cut }, ['leftEndPressed']), 'Wire 4: press the right end', 'work?act=rightEndPressed'],
    ['fitted', wire('fitted'), 'Wire 4: tension', 'tension?wire=4'],
    ['to be read again', wire('checked', { flags: ['readAgain'] }), 'Wire 4: read it again', 'tension?wire=4'],
    ['below', wire('tensioned', { flags: ['below', 'readAgain'] }), 'Wire 4: bring it up and read it again', 'tension?wire=4'],
    ['over', wire('tensioned', { flags: ['over'] }), 'Wire 4: let it out and read it again', 'tension?wire=4'],
    ['tensioned', wire('tensioned'), 'Wire 4: offer the probe', 'gaps']
  ])('%s', (_, w, text, room) => expect(told(w)).toEqual([text, `#/job/j/run/r/${room}`]));

  it('a release that moved tells why', () => {
    expect(wireAct('j', run, wire('measured', { facts: issued, releaseMoved: 'the sheet gives 7243 mm for it now' }))?.detail).toBe('the sheet gives 7243 mm for it now');
  });

  it('nothing once it is checked, and nothing beside a rejected end', () => {
    expect(told(wire('checked'))).toBeUndefined();
    expect(told(wire('cut', { flags: ['rejected'] }))).toBeUndefined();
  });
});

describe('what a post lacks', () => {
  const post = (role: string, ...said: Known[]): Post => ({ subject: 'post:p', id: 'p', name: 'A2', role, facts: Object.fromEntries(said.map((k) => [k.place ? `${k.field}@${k.place}` : k.field, k])), repeats: {} });
  const all = ['section', 'base', 'railJoint', 'material', 'condition', 'floor'].map((f) => fact(f, '', 1));
  it('is asked one at a time, the others named', () => {
    expect(postAct(run, post('intermediate', fact('section', '', 1), fact('railJoint', '', 1), fact('material', '', 1), fact('condition', '', 1)))).toEqual({ text: 'Post A2: base fixing', detail: 'then floor level', field: 'base' });
  });
  it('an end is asked of an anchor alone, and of this run', () => {
    expect(postAct(run, post('anchor', ...all, fact('end', 'other', 1)))?.field).toBe('end');
    expect(postAct(run, post('anchor', ...all, fact('end', 'r', 1)))).toBeUndefined();
    expect(postAct(run, post('intermediate', ...all))).toBeUndefined();
  });
  it('what was withdrawn is lacking, what is disputed is not', () => {
    expect(postAct(run, post('intermediate', ...all.slice(1), fact('section', '', null, 'withdrawn')))?.field).toBe('section');
    expect(postAct(run, post('intermediate', ...all.slice(1), fact('section', '', null, 'disputed')))).toBeUndefined();
  });
});
