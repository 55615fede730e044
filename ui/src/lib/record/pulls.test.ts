import { describe, expect, it } from 'vitest';
import type { BayPushed, PostAsked, PostHeld, UnderPush } from '$lib/generated/api';
import { anglesAt, atWires, besideText, demandOf, figuresOf, hardest, leastBay, notesOf, openingFigure, openingName, openingNote, otherwise, pullText, sectionTall, stressText } from './pulls';
import type { Job, Post, Run } from './view';

const held = (moment: number, more: Partial<PostHeld> = {}): PostHeld => ({
  held: 'free', levelPullN: 18000, baseMomentNm: moment, baseStressMpa: 35.08, takenAsSolid: false, tipMm: 10.52, wiresMm: [0.1, 0.3], railForceN: null, fixingForceN: null, byBase: [], leftOut: [], ...more
});
const asked = (own: PostHeld[], all?: PostHeld[]): PostAsked =>
  ({ held: own, wallPullN: null, wireHeightsMm: [76, 152], together: all ? { runs: [], held: all, atRightAngle: [], sentence: '' } : null }) as unknown as PostAsked;

it('a run that bears a post’s name, and a name within a name, hide no note', () => {
  const run = 'People differ on the tensions of run A.';
  const wall = 'Nobody told whether post A-1 is solid or hollow.';
  expect(notesOf([run], 'B', ['A', 'B', 'C'])).toEqual([run]);
  expect([notesOf([wall], 'A-1', ['A', 'A-1']), notesOf([wall], 'A', ['A', 'A-1'])]).toEqual([[wall], []]);
});

it('a post’s card tells the notes on that post, and those that name none', () => {
  const notes = ['The angle of runs A and B at post A6 is not told: each figure is the greatest.', 'Post A4a stands alone.', 'The rail’s stiffness is assumed.'];
  const of = (post: string) => notesOf(notes, post, ['A1', 'A4', 'A4a', 'A6']);
  expect([of('A1'), of('A4'), of('A4a'), of('A6')]).toEqual([[notes[2]], [notes[2]], [notes[1], notes[2]], [notes[0], notes[2]]]);
});

describe('a post under pull', () => {
  it('shows the moment always, the rest as far as it is known', () => {
    const names = (h: PostHeld) => figuresOf(h, 950).map((f) => f.name);
    expect(names(held(8892))).toEqual(['Moment at the base', 'Stress at the base', 'Movement at 950\u00a0mm']);
    expect(names(held(8892, { tipMm: null }))).toEqual(['Moment at the base', 'Stress at the base']);
    expect(names(held(8892, { tipMm: null, baseStressMpa: null }))).toEqual(['Moment at the base']);
    const railed = figuresOf(held(5995, { held: 'withRail', railForceN: 2897.3, fixingForceN: 23979 }), 1000);
    expect(railed.at(-1)?.name).toBe('Presses the rail');
    expect(figuresOf(held(1, { railForceN: -410 }), 1000).at(-1)).toEqual({ name: 'Pulls at the rail’s joint', figure: '410\u00a0N' });
  });

  it('tells a stress with what it hangs on, and never without a wall', () => {
    const stress = (more: Partial<PostHeld>) => stressText(held(8892, more));
    expect([stress({}), stress({ takenAsSolid: true })]).toEqual(['35.1 MPa', '35.1 MPa if solid']);
    expect(stress({ baseStressMpa: null })).toContain('wall');
  });

  it('shows what the other reading of the base says, and only that', () => {
    const by = (name: string, moment: number, tip: number) => ({ name, baseMomentNm: moment, baseStressMpa: moment === 5995 ? 23.65 : 0.6, tipMm: tip, railForceN: null, fixingForceN: null });
    const railed = held(5995, { held: 'withRail', baseStressMpa: 23.65, tipMm: 17.3, byBase: [by('base turning as pulled', 96, 17.3), by('base not turning', 5995, 5.8)] });
    expect(besideText(railed, 1000)).toBe('base turning as pulled: 96\u00a0N·m, 0.6 MPa; base not turning: 5.8\u00a0mm');
    expect(otherwise(railed, railed.byBase[1]!, 1000)).toEqual([{ name: 'Movement at 1000\u00a0mm', figure: '5.8\u00a0mm' }]);
    expect(besideText(held(8892), 1000)).toBe('');
  });

  it('leads with all runs together only where they ask more than one alone', () => {
    expect(hardest(asked([held(8892)]))).toMatchObject({ together: false });
    expect(hardest(asked([held(8892)], [held(12979)]))).toMatchObject({ together: true, held: [{ baseMomentNm: 12979 }] });
    expect(hardest(asked([held(8892)], [held(4805)]))).toMatchObject({ together: false, held: [{ baseMomentNm: 8892 }] });
  });

  it('leads with the greatest demand, whatever is told first', () => {
    const post = { ...asked([held(5995, { held: 'withRail', baseStressMpa: 23.65 }), held(2448, { held: 'propped' }), held(8892)]), wires: 12, tensionN: 1500 } as PostAsked;
    expect(demandOf(post)).toEqual({ figure: '8892 N·m', note: 'free, 35.1 MPa; with the rail 5995 N·m' });
    expect(demandOf(asked([held(8892)], [held(12979)]))).toEqual({ figure: '12979 N·m', note: 'all runs together: free, 35.1 MPa' });
    const told = { ...post, own: { strengthMpa: 24 } } as PostAsked;
    expect(demandOf(told).note).toBe('free, 35.1 MPa; with the rail 5995 N·m; its own figure 24 MPa');
    expect(demandOf({ ...post, held: [] })).toEqual({ figure: '', note: '12 × 1500\u00a0N' });
    expect(demandOf({ ...post, held: [], wallPullN: 18000 })).toEqual({ figure: '18,000\u00a0N', note: 'off the wall: 12 × 1500\u00a0N' });
  });

  it('lists movement from the top wire down, in every way of holding', () => {
    const post = asked([held(8892), held(1500, { held: 'propped', wiresMm: [0, 0.2] })]);
    const rigid = 'with a rail that does not give';
    expect(atWires(post)).toEqual([
      { wire: 2, height: '152\u00a0mm', moved: `free 0.3\u00a0mm, ${rigid} 0.2\u00a0mm` },
      { wire: 1, height: '76\u00a0mm', moved: `free 0.1\u00a0mm, ${rigid} 0\u00a0mm` }
    ]);
    // Of all runs together the wires of this one stand first.
    const two = asked([held(8892)], [held(12979, { wiresMm: [0.4, 0.6, 0.2, 0.3] })]);
    expect(atWires(two).map((m) => m.moved)).toEqual(['free 0.3\u00a0mm; all runs together: free 0.6\u00a0mm', 'free 0.1\u00a0mm; all runs together: free 0.4\u00a0mm']);
    expect(atWires(asked([held(8892, { wiresMm: [] })]))).toEqual([]);
  });

  it('asks one angle for each pair of runs, and one of a corner', () => {
    const post = (id: string, role: string) => ({ id, role }) as Post;
    const a = { id: 'bb', name: 'A', posts: [post('p', 'anchor')] } as Run;
    const b = { id: 'aa', name: 'B', posts: [post('p', 'anchor')] } as Run;
    const passing = { id: 'cc', name: 'C', posts: [post('p', 'intermediate')] } as Run;
    const job = { runs: [a, b, passing] } as unknown as Job;
    expect(anglesAt(job, a, post('p', 'anchor')).map((x) => x.place)).toEqual(['aa/bb']);
    expect(anglesAt(job, b, post('p', 'anchor')).map((x) => x.place)).toEqual(['aa/bb']);
    expect(anglesAt(job, a, post('p', 'corner')).map((x) => x.place)).toEqual(['bb', 'aa/bb']);
    expect(anglesAt(job, a, post('q', 'anchor'))).toEqual([]);
  });

  it('tells a known pull in one line', () => {
    expect(pullText({ mn: 300000, atNm: 900000000, movedNm: 12500000, railOn: false })).toBe('300\u00a0N at 900\u00a0mm: moved 12.5\u00a0mm, rail off');
  });
});

describe('an opening under a push', () => {
  const opening = (more: Partial<UnderPush> = {}): UnderPush => ({
    lower: 6, between: 'wires', atRestMm: 76.8, origin: 'recorded', tensionN: 900, tensionOrigin: 'recorded', passesFreely: false, forceN: 110.7, grippedN: 140, rigidN: null,
    underPushMm: 85.85, needsN: null, needsTooMuch: false, passes: false, depthMm: 20, ...more
  });

  it('is named by what it lies between', () => {
    expect([opening(), opening({ between: 'floorAndWire', lower: 0 }), opening({ between: 'wireAndRail', lower: 12 })].map(openingName)).toEqual(['Wire 6–7', 'Floor to wire 1', 'Wire 12 to the rail']);
  });

  it('leads with the force and never shows a number that is not one', () => {
    expect(openingFigure(opening())).toBe('111\u00a0N');
    expect(openingFigure(opening({ passesFreely: true, forceN: null }))).toBe('passes');
    expect(openingFigure(opening({ forceN: null }))).toBe('');
    expect(openingNote(opening())).toBe('76.8\u00a0mm (recorded), 85.9\u00a0mm under the push; at 900\u00a0N, recorded; 140\u00a0N if the wires are gripped at the posts');
    expect(openingNote(opening({ passes: true, needsN: 1603.6 }))).toMatch(/; held from 1604\u00a0N on$/);
    expect(openingNote(opening({ passes: true, needsN: 5000, needsTooMuch: true }))).toMatch(/; held from 5000\u00a0N on, over the upper tension$/);
    expect(openingNote(opening({ passes: true }))).toMatch(/; no tension holds it$/);
    expect(openingNote(opening({ rigidN: 118.4 }))).toMatch(/; 118\u00a0N if the end posts do not give; 140\u00a0N if/);
    const bare = opening({ forceN: null, grippedN: null, underPushMm: null, tensionN: null, tensionOrigin: null });
    expect(openingNote(bare)).toBe('76.8\u00a0mm, recorded');
  });

  it('shows the bay first that holds least', () => {
    const bay = (o: UnderPush) => ({ openings: [o], weakest: o.lower }) as unknown as BayPushed;
    expect(leastBay([bay(opening()), bay(opening({ forceN: 93 })), bay(opening({ forceN: null }))])).toBe(1);
    expect(leastBay([bay(opening()), bay(opening({ forceN: null, passesFreely: true }))])).toBe(1);
    expect(leastBay([])).toBe(0);
  });

  it('gives a section room for its figures', () => {
    expect(sectionTall(3)).toBe(300);
    expect(sectionTall(13)).toBe(450);
  });
});
