import { describe, expect, it } from 'vitest';
import { CLOSEST, RIM, coarse, crowded, fingersOf, inUnit, movedTo, namesApart, readable, scaleFor, thingsOf, touched, uncrowded, widthOf, wiresNear, xOf, zoomBy, type Shapes } from './drawing';

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
    expect(widthOf(s)).toBeCloseTo(390);
    expect(s.sy * 1000 + 2 * RIM).toBeCloseTo(250);
  });
  it('is one scale both ways when drawn to scale', () => {
    const s = scaleFor(run, 390, 250, false, 2);
    expect(s.sx).toBe(s.sy);
  });
  it('never stretches a short run', () => {
    const short: Shapes = { width: 500, height: 1000, shapes: [{ kind: 'line', x1: 0, y1: 0, x2: 500, y2: 0, role: 'wire' }] };
    const s = scaleFor(short, 390, 250, true, 1);
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

it('figures outside the run keep their columns, however squeezed it is', () => {
  const s = scaleFor(run, 390, 250, true, 1);
  expect(xOf(s, 7050, true) - xOf(s, 7000)).toBeGreaterThan(8);
});

it('figures that would run into each other are thinned out, but not what needs attention', () => {
  const close: Shapes = { ...run, shapes: Array.from({ length: 12 }, (_, i) => ({
    kind: 'text', x: 7050, y: 900 - i * 76, text: String(i + 1), anchor: 'start', role: 'wire', subject: `wire:r:${i + 1}`, state: i === 6 ? 'below' : 'cut'
  })) };
  const at = (tall: number) => readable(close, scaleFor(close, 390, tall, true, 1), 'wire:r:12').map((t) => t.subject?.split(':')[2]);
  expect(at(250)).toHaveLength(12);
  expect(at(150)).toEqual(['1', '3', '5', '7', '9', '12']);
  expect(at(120)).toContain('7');
});

it('coarse leaves out the finer figures and the room they took', () => {
  const fine: Shapes = { ...run, height: 1300, shapes: [...run.shapes, { kind: 'text', x: 0, y: 1250, text: '−12', anchor: 'middle', role: 'floorLevel' }] };
  expect(coarse(fine).shapes).toHaveLength(run.shapes.length);
  expect(coarse(fine).height).toBe(1000);
});

it('coarse keeps the low spots of the floor: to scale alone they would not show', () => {
  const low = { kind: 'text' as const, x: 1400, y: 1220, text: 'low −20', anchor: 'middle', role: 'lowSpot', subject: 'bay:0' };
  expect(coarse({ ...run, height: 1300, shapes: [...run.shapes, low] }).shapes.some((s) => s.role === 'lowSpot')).toBe(true);
});

it('a name is where a thing is touched by readers and keys', () => {
  const named: Shapes = { ...run, shapes: [...run.shapes, { kind: 'text', x: 3045, y: 0, text: 'A2', anchor: 'middle', role: 'postName', subject: 'post:A2' }] };
  const post = thingsOf(named, scaleFor(named, 390, 250, true, 1)).find((t) => t.subject === 'post:A2');
  expect(post?.box.h).toBeLessThan(30);
});

describe('touched', () => {
  const s = scaleFor(run, 390, 250, true, 1);
  const at = (x: number, y: number) => touched(run, s, xOf(s, x), y * s.sy + RIM);
  it('takes the nearer wire', () => {
    expect(at(1000, 860)).toBe('wire:1');
    expect(at(1000, 840)).toBe('wire:2');
  });
  it('takes the post away from the wires', () => expect(at(3045, 300)).toBe('post:A2'));
  it('takes a wire where it crosses a post', () => expect(at(3045, 900)).toBe('wire:1'));
  it('takes nothing far from everything', () => expect(at(500, 100)).toBeUndefined());
});

describe('a crowded run', () => {
  const name = (x: number) => ({ kind: 'text' as const, x, y: 0, text: 'A', anchor: 'middle', role: 'postName', subject: `post:${x}` });
  const bay = (x: number, w: number, state: string) => [
    { kind: 'box' as const, x, y: 0, w, h: 900, role: 'bay', subject: `bay:${x}`, state },
    { kind: 'mark' as const, x: x + w / 2, y: 0, mark: 'o', role: 'bay', subject: `bay:${x}`, state }
  ];
  const near: Shapes = { ...run, shapes: [...run.shapes, name(0), name(500), ...bay(0, 500, 'checked'), ...bay(500, 500, 'passes'), ...bay(1000, 2000, 'checked')] };
  const scale = scaleFor(near, 390, 250, true, 1);
  it('has names too close for full letters', () => {
    expect(crowded(near, scale)).toBe(true);
    expect(crowded({ ...run, shapes: [...run.shapes, name(0), name(3000)] }, scale)).toBe(false);
  });
  it('drops signs of narrow bays, never one of a probe that passed', () => {
    const left = uncrowded(near, scale).shapes.flatMap((s) => (s.kind === 'mark' && s.role === 'bay' ? [s.subject] : []));
    expect(left).toEqual(['bay:500', 'bay:1000']);
  });
  it('drops lengths that would run into their neighbour’s', () => {
    const text = (subject: string, figure: string) => ({ kind: 'text' as const, x: 700, y: 1050, text: figure, anchor: 'middle', role: 'bayLength', subject });
    const told = { ...near, shapes: [...near.shapes, text('bay:0', '735'), text('bay:500', '12'), text('bay:1000', '1380')] };
    const left = uncrowded(told, scale).shapes.flatMap((s) => (s.kind === 'text' && s.role === 'bayLength' ? [s.text] : []));
    // 500 mm of 7000 are some 25 pixels here: room for three figures, not for five.
    expect(left).toEqual(['735', '12', '1380']);
    const long = { ...near, shapes: [...near.shapes, text('bay:0', '(735)')] };
    expect(uncrowded(long, scale).shapes.some((s) => s.role === 'bayLength')).toBe(false);
  });
  it('keeps a low spot of a bay that its figure fits with a little over', () => {
    const low = (subject: string, figure: string) => ({ kind: 'text' as const, x: 700, y: 1220, text: figure, anchor: 'middle', role: 'lowSpot', subject });
    const told = { ...near, shapes: [...near.shapes, low('bay:0', 'low −20'), low('bay:1000', '(low −20)')] };
    expect(uncrowded(told, scale).shapes.flatMap((s) => (s.kind === 'text' && s.role === 'lowSpot' ? [s.text] : []))).toEqual(['(low −20)']);
  });
  it('tells lengths in the unit that is read, and names as they are', () => {
    const text = (role: string, text: string) => ({ kind: 'text' as const, x: 0, y: 0, text, anchor: 'middle', role, subject: 's' });
    const told = { ...run, shapes: [text('bayLength', '(1409.7) along'), text('lowSpot', 'low −19.05'), text('height', '1000 high'), text('postName', 'A12')] };
    const texts = (unit: 'mm' | 'in') => inUnit(told, unit).shapes.map((s) => ('text' in s ? s.text.replaceAll('\u00a0', ' ') : ''));
    expect(texts('in')).toEqual(['(55 1/2) along', 'low −3/4', '39 3/8 high', 'A12']);
    expect(texts('mm')).toEqual(['(1409.7) along', 'low −19.05', '1000 high', 'A12']);
  });
  it('is never drawn backwards in a frame without width', () => expect(scaleFor(near, 0, 250, true, 1).sx).toBeGreaterThan(0));
});

describe('a run of 31 posts', () => {
  const posts = Array.from({ length: 31 }, (_, i) => i);
  const long: Shapes = {
    width: 42_000,
    height: 1300,
    shapes: [
      ...posts.map((i) => ({ kind: 'box' as const, x: 240 + i * 1380, y: 200, w: 90, h: 900, role: 'post', subject: `post:${i}`, state: i === 11 ? 'disputed' : 'none' })),
      ...posts.map((i) => ({ kind: 'text' as const, x: 285 + i * 1380, y: 150, text: `A${i + 1}`, anchor: 'middle', role: 'postName', subject: `post:${i}`, state: i === 11 ? 'disputed' : 'none' })),
      { kind: 'line', x1: 120, y1: 1100, x2: 41_850, y2: 1100, role: 'floor' },
      { kind: 'line', x1: 285, y1: 500, x2: 41_685, y2: 500, role: 'wire', subject: 'wire:r:25' },
      { kind: 'text', x: 212, y: 518, text: '25', anchor: 'end', role: 'wireNumber', subject: 'wire:r:25' },
      { kind: 'mark', x: 41_800, y: 500, mark: '↻', role: 'wire', subject: 'wire:r:25', state: 'readAgain' }
    ]
  };
  const scale = scaleFor(long, 390, 250, true, 1);
  const named = (selected: string, of = scale) => namesApart(long, of, selected).shapes.flatMap((s) => (s.kind === 'text' && s.role === 'postName' ? [s.text] : []));
  it('thins its names: the first, the last, the selected and the disputed stay, and none touches another', () => {
    const left = named('post:20');
    expect(left).toEqual(expect.arrayContaining(['A1', 'A12', 'A21', 'A31']));
    expect(left.length).toBeLessThan(20);
    const at = left.map((name) => (285 + (Number(name.slice(1)) - 1) * 1380) * scale.sx);
    expect(Math.min(...at.slice(1).map((x, i) => x - (at[i] ?? 0)))).toBeGreaterThan(17);
  });
  it('names every post where there is room', () => expect(named('', scaleFor(long, 390, 250, false, 1))).toHaveLength(31));
  it('keeps a wire’s number and its sign whole on the glass, beside the posts', () => {
    const number = xOf(scale, 212, true);
    expect(number - 8).toBeGreaterThan(0);
    expect(number + 8).toBeLessThan(xOf(scale, 240));
    expect(xOf(scale, 41_800, true) + 7).toBeLessThan(390);
  });
});

it('coarse keeps openings that a probe passed or that people differ on', () => {
  const text = (state: string) => ({ kind: 'text' as const, x: 0, y: 950, text: state, anchor: 'start', role: 'opening', subject: 'post:A2', state });
  const told = coarse({ ...run, shapes: [...run.shapes, text('passes'), text('disputed'), text('none')] });
  expect(told.shapes.flatMap((s) => (s.role === 'opening' ? [s.state] : []))).toEqual(['passes', 'disputed']);
});

describe('two fingers', () => {
  const before = scaleFor(run, 390, 250, true, 1);
  it('are told by their distance and their middle', () => {
    expect(fingersOf({ x: 100, y: 50 }, { x: 160, y: 130 })).toEqual({ apart: 100, x: 130, y: 90 });
    expect(fingersOf({ x: 1, y: 1 }, { x: 1, y: 1 }).apart).toBe(1);
  });
  it('zoom within bounds', () => {
    expect(zoomBy(2, 1.5)).toBe(3);
    expect(zoomBy(2, 100)).toBe(CLOSEST);
    expect(zoomBy(2, 0.01)).toBe(1);
  });
  it('keep the same millimetre under their middle', () => {
    const after = scaleFor(run, 390, 250, true, 3);
    for (const mm of [0, 1234, 7000]) expect(movedTo(before, after, xOf(before, mm), 900 * before.sy + RIM)).toEqual({ x: expect.closeTo(xOf(after, mm)) as number, y: expect.closeTo(900 * after.sy + RIM) as number });
  });
  it('outside the run move with its end', () => {
    const after = scaleFor(run, 390, 250, true, 3);
    expect(movedTo(before, after, xOf(before, 7000) + 9, 40).x).toBeCloseTo(xOf(after, 7000) + 9);
    expect(movedTo(before, after, 5, 40).x).toBe(5);
  });
});

it('a lens is wanted where a finger covers more than one wire', () => {
  const s = scaleFor(run, 390, 250, true, 1);
  const near = (y: number) => wiresNear(run, s, xOf(s, 1000), y * s.sy + RIM);
  expect(near(850)).toBe(2);
  expect(near(100)).toBe(0);
});
