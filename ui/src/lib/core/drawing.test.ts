import { describe, expect, it } from 'vitest';
import { RIM, scaleFor, thingsOf, touched, type Shapes } from './drawing';

const run: Shapes = {
  width: 7000,
  height: 1000,
  shapes: [
    { kind: 'line', x1: 0, y1: 900, x2: 7000, y2: 900, role: 'wire', subject: 'wire:1', state: 'cut' },
    { kind: 'line', x1: 0, y1: 800, x2: 7000, y2: 800, role: 'wire', subject: 'wire:2', state: 'below' },
    { kind: 'box', x: 3000, y: 0, w: 90, h: 1000, role: 'post', subject: 'post:A2' },
    { kind: 'mark', x: 7050, y: 800, mark: '!', role: 'wire', subject: 'wire:2', state: 'below' },
    { kind: 'line', x1: 0, y1: 1000, x2: 7000, y2: 1000, role: 'floor' }
  ]
};

describe('scaleFor', () => {
  it('squeezes a long run into the frame and keeps its height', () => {
    const s = scaleFor(run, 390, 250, true, 1);
    expect(s.sx * 7000 + 2 * RIM).toBeCloseTo(390);
    expect(s.sy * 1000 + 2 * RIM).toBeCloseTo(250);
  });
  it('is one scale both ways when drawn to scale', () => {
    const s = scaleFor(run, 390, 250, false, 2);
    expect(s.sx).toBe(s.sy);
  });
  it('never stretches a short run', () => {
    const s = scaleFor({ ...run, width: 500 }, 390, 250, true, 1);
    expect(s.sx).toBe(s.sy);
  });
});

it('thingsOf joins the shapes of one subject and leaves out what has none', () => {
  const things = thingsOf(run, scaleFor(run, 390, 250, true, 1));
  expect(things.map((t) => [t.subject, t.state])).toEqual([
    ['wire:1', 'cut'],
    ['wire:2', 'below'],
    ['post:A2', 'none']
  ]);
});

describe('touched', () => {
  const s = scaleFor(run, 390, 250, true, 1);
  const at = (x: number, y: number) => touched(run, s, x * s.sx + RIM, y * s.sy + RIM);
  it('takes the nearer wire', () => {
    expect(at(1000, 860)).toBe('wire:1');
    expect(at(1000, 840)).toBe('wire:2');
  });
  it('takes the post away from the wires', () => expect(at(3045, 300)).toBe('post:A2'));
  it('takes a wire where it crosses a post', () => expect(at(3045, 900)).toBe('wire:1'));
  it('takes nothing far from everything', () => expect(at(500, 100)).toBeUndefined());
});
