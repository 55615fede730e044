import { describe, expect, it } from 'vitest';
import { readForm } from '$lib/core/form';
import { newRunFields, planOf } from '$lib/screens/newRunFields';
import { bayTyped } from './make-run';
import { positions, postPlans, runFields, wireHeights, type RunPlan } from './new-run';
import type { Job } from './view';

const MM = 1_000_000;
const mm = (list: number[]) => list.map((v) => v * MM);

const plan: RunPlan = {
  name: 'A',
  surface: 'deck',
  shape: 'level',
  endWidthNm: 115 * MM,
  innerWidthNm: 90 * MM,
  baysNm: mm([1380, 1410, 1395, 1560, 1195]),
  baysTyped: [],
  typed: {},
  baysMeasured: true,
  wireCount: 12,
  firstWireNm: 76 * MM,
  spacingNm: 76 * MM,
  endDepthNm: 90 * MM,
  innerDepthNm: 45 * MM,
  ends: { kind: 'insert', tensioner: 'right' },
  angledSeats: false
};

it('twelve wires at 76 end at 912', () => expect(wireHeights(12, 76, 76).at(-1)).toBe(912));

it('posts stand so that inside to inside is the bays and the inner posts', () => {
  const at = positions(plan);
  expect(at).toHaveLength(6);
  expect(((at.at(-1) ?? 0) - plan.endWidthNm) / MM).toBe(1380 + 1410 + 1395 + 1560 + 1195 + 4 * 90);
});

describe('postPlans', () => {
  it('names posts from the run and gives each end its hand', () => {
    const posts = postPlans(plan, 'r');
    expect(posts.map((p) => p.own[0]?.value)).toEqual(['A1', 'A2', 'A3', 'A4', 'A5', 'A6']);
    const ends = posts.flatMap((p) => p.inRun.filter((f) => f.field === 'end').map((f) => f.value));
    expect(ends).toEqual([
      { kind: 'insert', hand: 'LH', tensioner: false, angledSeat: false },
      { kind: 'insert', hand: 'RH', tensioner: true, angledSeat: false }
    ]);
  });
  it('records nothing that nobody told', () => {
    const [first, second] = postPlans(plan, 'r');
    expect([first?.own[1]?.value, second?.own[1]?.value]).toEqual([{ alongNm: 115 * MM, acrossNm: 90 * MM }, { alongNm: 90 * MM, acrossNm: 45 * MM }]);
    const end = (p: RunPlan) => postPlans(p, 'r')[0]?.inRun.find((f) => f.field === 'end')?.value;
    expect(end({ ...plan, angledSeats: undefined })).toEqual({ kind: 'insert', hand: 'LH', tensioner: false });
    expect(end({ ...plan, ends: undefined })).toBeUndefined();
    expect(runFields({ ...plan, surface: undefined }).map((f) => f.field)).not.toContain('surface');
  });
  it('leaves a shared post’s own facts alone', () => {
    const first = postPlans({ ...plan, firstPost: 'post:x' }, 'r')[0];
    expect(first?.shared).toBe('post:x');
    expect(first?.own).toEqual([]);
    expect(first?.inRun.map((f) => [f.field, f.place])).toEqual([['position', 'r'], ['role', 'r'], ['end', 'r']]);
  });
});

it('a level run says no slope', () => {
  const slope = { riseNm: 178 * MM, goingNm: 250 * MM };
  expect(runFields({ ...plan, slope }).some((f) => f.field === 'slope')).toBe(false);
  expect(runFields({ ...plan, shape: 'raked', slope }).some((f) => f.field === 'slope')).toBe(true);
});

describe('bays of a new run', () => {
  const fields = newRunFields({ runs: [], strands: [], fittingSets: [] } as unknown as Job);
  const rest = { name: 'A', surface: 'deck', shape: 'level', endWidthNm: '4 1/2', innerWidthNm: '3 1/2', endDepthNm: '4 1/2', innerDepthNm: '3 1/2', wireCount: '12', firstWireNm: '3', spacingNm: '3', endKind: 'insert', tensioner: 'right' };
  const read = (bays: string, unit: 'mm' | 'in') => {
    const typed = { ...rest, bays };
    const { values, faults } = readForm(fields, typed, unit);
    return faults.bays ?? planOf(values, typed, unit);
  };
  it.each([
    ['55 1/2; 54 7/8', 'in', [1_409_700_000, 1_393_825_000], ['55 1/2', '54 7/8']],
    ['1380; 1410,5', 'mm', [1_380_000_000, 1_410_500_000], ['1380', '1410,5']]
  ] as const)('%s in %s', (text, unit, nm, typed) => {
    const plan = read(text, unit) as RunPlan;
    expect(plan.baysNm).toEqual(nm);
    expect(nm.map((_, i) => bayTyped(plan, i))).toEqual(typed.map((one) => ({ text: one, unit })));
  });
  it.each([['55 1/2 54 7/8', 'in'], ['1380 1410', 'mm']] as const)('%s in %s is asked for again', (text, unit) => expect(read(text, unit)).toContain('semicolon'));
  it('however it is typed it stays as typed: the program reads all that the screens read', () => {
    expect(bayTyped(read('55-1/2"', 'in') as RunPlan, 0)).toEqual({ text: '55-1/2"', unit: 'in' });
  });
});

describe('what was typed of a new run stands beside its figures', () => {
  const fields = newRunFields({ runs: [], strands: [], fittingSets: [] } as unknown as Job);
  const typed = {
    name: 'D', shape: 'raked', riseNm: '7', goingNm: '9 13/16', overhangNm: '1', fallNm: '1,8 m', lastFloorNm: '-56', heightNm: '42', undersideNm: '38 1/2', thicknessNm: '1 1/2',
    endWidthNm: '4 1/2', endDepthNm: '4', innerWidthNm: '90 mm', innerDepthNm: '3 1/2', bays: '55-1/2"; 1380 mm', wireCount: '12', firstWireNm: '3', spacingNm: '3 1/16', build: 'hollow', endWallNm: '1/8'
  };
  const said = (more: Record<string, string> = {}) => {
    const all = { ...typed, ...more };
    const { values, faults } = readForm(fields, all, 'in');
    expect(faults).toEqual({});
    const read = planOf({ ...values, firstPost: more.firstPost }, all, 'in', () => ({ floorNm: -20 * MM, alongNm: 115 * MM }));
    const of = (list: { field: string; context?: Record<string, unknown> }[]) => Object.fromEntries(list.flatMap((f) => (f.context ? [[f.field, f.context.entered]] : [])));
    return [of(runFields(read)), ...postPlans(read, 'r').map((p) => of([...p.own, ...p.inRun]))];
  };
  it('of the run and of each post', () => {
    const place = '4 1/2 in wide, posts between 90 mm';
    expect(said()).toEqual([
      { fall: '1,8 m', height: '42 in', slope: 'rise 7 in, going 9 13/16 in, overhang 1 in', rail: 'underside 38 1/2 in, thickness 1 1/2 in', wireHeights: '12 from 3 in every 3 1/16 in' },
      { section: '4 1/2 in along, 4 in across, wall 1/8 in' },
      { section: '90 mm along, 3 1/2 in across', position: `behind bays of 55-1/2"; end posts ${place}` },
      { section: '4 1/2 in along, 4 in across, wall 1/8 in', floor: '-56 in', position: `behind bays of 55-1/2"; 1380 mm; end posts ${place}` }
    ]);
  });
  it('of a floor against a post that the job counts otherwise, with what it is against', () => {
    expect(said({ firstPost: 'post:x' }).at(-1)?.floor).toBe('-56 in against the first post');
  });
  it('of no place behind a post that counts with its own width', () => {
    const places = (more: Record<string, string>) => said(more).slice(1).map((of) => of.position !== undefined);
    expect(places({})).toEqual([false, true, true]);
    expect(places({ firstPost: 'post:x' })).toEqual([false, false, false]);
  });
  it('every length that the form asks is kept with what was typed', () => {
    const kept = JSON.stringify(said({ innerWallNm: '1/16' }));
    const lengths = newRunFields({ runs: [], strands: [], fittingSets: [] } as unknown as Job).filter((f) => f.kind === 'length');
    const all = { ...typed, innerWallNm: '1/16' } as Record<string, string>;
    expect(lengths.filter((f) => !kept.includes(all[f.name] ?? '?')).map((f) => f.name)).toEqual([]);
  });
});

describe('what stands in one value is kept whole or asked for', () => {
  const fields = newRunFields({ runs: [], strands: [], fittingSets: [] } as unknown as Job);
  const least = { name: 'A', shape: 'level', endWidthNm: '115', endDepthNm: '115', innerWidthNm: '90', innerDepthNm: '90', bays: '1380; 1410', wireCount: '4', firstWireNm: '76', spacingNm: '76' };
  const plan = (more: Record<string, string>) => {
    const typed = { ...least, ...more };
    const { values, faults } = readForm(fields, typed, 'mm');
    expect(faults).toEqual({});
    return planOf(values, typed, 'mm');
  };
  it('one bay has no post between its ends, and asks for none', () => {
    const { innerWidthNm: _, innerDepthNm: __, ...ends } = least;
    const { values, faults } = readForm(fields, { ...ends, bays: '1380' }, 'mm');
    expect(faults).toEqual({});
    const posts = postPlans(planOf(values, { ...ends, bays: '1380' }, 'mm'), 'r');
    expect(posts.map((p) => p.own.find((f) => f.field === 'section')?.value)).toEqual(Array(2).fill({ alongNm: 115 * MM, acrossNm: 115 * MM }));
    expect(JSON.stringify(posts[1]?.inRun)).toContain('behind a bay of 1380 mm; end posts 115 mm wide');
    expect(readForm(fields, { ...ends, bays: '1380; 1410' }, 'mm').faults).toHaveProperty('innerWidthNm');
  });
  it('wires may be told later, whole: then nothing is said of them', () => {
    const { wireCount: _, firstWireNm: __, spacingNm: ___, ...bare } = least;
    const { values, faults } = readForm(fields, bare, 'mm');
    expect(faults).toEqual({});
    const later = runFields(planOf(values, bare, 'mm')).map((f) => f.field);
    expect(later).not.toContain('wireCount');
    expect(later).not.toContain('wireHeights');
    expect(runFields(plan({})).map((f) => f.field)).toEqual(expect.arrayContaining(['wireCount', 'wireHeights']));
    for (const part of [{ wireCount: '4' }, { wireCount: '4', spacingNm: '76' }, { firstWireNm: '76' }] as Record<string, string>[]) {
      const typed = { ...bare, ...part };
      const half = readForm(fields, typed, 'mm').values;
      expect(() => planOf(half, typed, 'mm')).toThrow(/together/);
    }
  });
  it('nothing is taken as chosen', () => {
    const untouched = plan({});
    expect([untouched.surface, untouched.ends, untouched.angledSeats, untouched.strand, untouched.fittingSet, untouched.rail]).toEqual(Array(6).fill(undefined));
    expect(newRunFields({ runs: [], strands: [], fittingSets: [] } as unknown as Job).find((f) => f.name === 'shape')?.need).toBe(true);
  });
  it.each([
    [{ undersideNm: '980' }, 'thickness'],
    [{ thicknessNm: '40' }, 'underside'],
    [{ endKind: 'insert' }, 'tensioned'],
    [{ tensioner: 'both' }, 'kind'],
    [{ angledSeats: 'no' }, 'kind'],
    [{ shape: 'raked', riseNm: '178' }, 'going'],
    [{ build: 'hollow', endWallNm: '57.5' }, 'fills'],
    [{ build: 'hollow', innerWallNm: '60' }, 'fills']
  ])('%j: says what is missing', (more, missing) => expect(() => plan(more as unknown as Record<string, string>)).toThrow(missing));
  it('both are kept', () => {
    const told = plan({ undersideNm: '980', thicknessNm: '40', endKind: 'insert', tensioner: 'both', angledSeats: 'no' });
    expect(told).toMatchObject({ rail: { undersideNm: 980 * MM, thicknessNm: 40 * MM }, ends: { kind: 'insert', tensioner: 'both' }, angledSeats: false });
  });
});

it('a bay stays clear as it was typed beside a post of another width that is there already', () => {
  const bays = mm([1210, 1000]);
  const at = positions({ ...plan, baysNm: bays, endWidthNm: 40 * MM, innerWidthNm: 40 * MM, firstWidthNm: 90 * MM });
  // Half of 90, the bay, half of 40; then 40 beside 40.
  expect(at.map((nm) => nm / MM)).toEqual([0, 45 + 1210 + 20, 45 + 1210 + 20 + 1040]);
  expect(positions({ ...plan, baysNm: bays, lastWidthNm: 50 * MM }).at(-1)).toBe((57.5 + 1210 + 90 + 1000 + 25) * MM);
});

describe('how the posts of a new run are built', () => {
  const fields = newRunFields({ runs: [], strands: [], fittingSets: [] } as unknown as Job);
  const asked = (typed: Record<string, string>) => fields.filter((f) => f.when?.(typed) ?? true).map((f) => f.name);
  it('asks for a wall of hollow ones alone, and for a slope of a rake alone', () => {
    expect(asked({ build: 'hollow' })).toContain('endWallNm');
    expect(asked({ build: 'solid' })).not.toContain('endWallNm');
    expect(asked({ shape: 'raked' })).toContain('riseNm');
    expect(asked({ shape: 'level' })).not.toContain('riseNm');
  });
  it('records what was said and nothing else', () => {
    const sections = (more: Partial<RunPlan>) => postPlans({ ...plan, ...more }, 'r').slice(0, 2).map((p) => p.own[1]?.value);
    expect(sections({ build: 'solid', endWallNm: 3 * MM })).toEqual([
      { alongNm: 115 * MM, acrossNm: 90 * MM, solid: true },
      { alongNm: 90 * MM, acrossNm: 45 * MM, solid: true }
    ]);
    expect(sections({ build: 'hollow', endWallNm: 4 * MM })).toEqual([
      { alongNm: 115 * MM, acrossNm: 90 * MM, wallNm: 4 * MM, solid: false },
      { alongNm: 90 * MM, acrossNm: 45 * MM, solid: false }
    ]);
  });
});

describe('the floor at the last post of a new run', () => {
  const fields = newRunFields({ runs: [], strands: [], fittingSets: [] } as unknown as Job);
  const typed = { name: 'D', surface: 'stair', shape: 'raked', riseNm: '178', goingNm: '250', risers: '9', bays: '985; 985', endWidthNm: '90', innerWidthNm: '90', endDepthNm: '90', innerDepthNm: '90', wireCount: '8', firstWireNm: '76', spacingNm: '76' };
  const floors = (more: Record<string, string>) => {
    const all = { ...typed, ...more };
    return postPlans(planOf(readForm(fields, all, 'mm').values, all, 'mm'), 'r').map((p) => p.own.find((f) => f.field === 'floor')?.value);
  };
  it('is told of both ends, or of none', () => {
    expect(floors({ lastFloorNm: '-1424' })).toEqual([{ nm: 0 }, undefined, { nm: -1_424_000_000 }]);
    expect(floors({})).toEqual([undefined, undefined, undefined]);
  });
  it('of a post that is there is told on its own card', () => {
    const all = { ...typed, lastFloorNm: '-1424' };
    const { values } = readForm(fields, all, 'mm');
    expect(() => planOf({ ...values, lastPost: 'post:x' }, all, 'mm')).toThrow('its own card');
    expect(() => planOf({ ...values, firstPost: 'post:x' }, all, 'mm')).toThrow('before');
    // Floors count from one datum: 20 below it at the first post.
    expect(planOf({ ...values, firstPost: 'post:x' }, all, 'mm', () => ({ floorNm: -20 * MM })).lastFloorNm).toBe(-1_444_000_000);
  });
});
