// What the form for a new run asks, and how its answers become a plan.
import { typedLengths, type Field, type Meaning, type Typed } from '$lib/core/form';
import { asSaid, splitLengths, type LengthUnit } from '$lib/core/length';
import { hasThread } from '$lib/record/end-kinds';
import type { Build, PlanTyped, RunPlan } from '$lib/record/new-run';
import type { Job } from '$lib/record/view';
import { options } from '$lib/words/site';
import { words } from '$lib/words';

type RunEnds = NonNullable<RunPlan['ends']>;

const f = words.facts;
const w = words.newRun;

const raked = (typed: Typed) => typed.shape === 'raked';
const hollow = (typed: Typed) => typed.build === 'hollow';
/** One bay has no post between its ends. */
const between = (typed: Typed) => splitLengths(typed.bays ?? '').length !== 1;

/** Asked of posts that are made: whether they are solid, and with `walls` how thick where they are not. */
export function buildFields(walls: { name: string; label: string; when?: (typed: Typed) => boolean }[]): Field[] {
  return [
    { name: 'build', label: w.build, kind: 'choice', options: options(w.builds), hint: w.buildHint },
    ...walls.map(({ name, label, when }): Field => ({ name, label, kind: 'length', aboveZero: true, when: (typed) => hollow(typed) && (when?.(typed) ?? true) }))
  ];
}

export function newRunFields(job: Job): Field[] {
  const posts: [string, string][] = [...new Map(job.runs.flatMap((r) => r.posts).map((p) => [p.subject, p.name]))];
  const named = (things: { id: string; name: string }[]): [string, string][] => things.map((t) => [t.id, t.name]);
  const shared: Field[] = posts.length === 0 ? [] : [
    { name: 'firstPost', label: w.firstPost, kind: 'choice', options: posts, hint: w.sharedHint },
    { name: 'lastPost', label: w.lastPost, kind: 'choice', options: posts }
  ];
  return [
    { name: 'name', label: f.runName, kind: 'text', need: true },
    { name: 'surface', label: f.surface, kind: 'choice', options: options(words.surface) },
    { name: 'shape', label: f.shape, kind: 'choice', options: options(words.shape), need: true },
    { name: 'riseNm', label: f.rise, kind: 'length', when: raked },
    { name: 'goingNm', label: f.going, kind: 'length', when: raked },
    { name: 'risers', label: f.risers, kind: 'whole', when: raked },
    { name: 'overhangNm', label: f.overhang, kind: 'length', when: raked, hint: f.overhangHint },
    { name: 'fallNm', label: f.runFall, kind: 'length' },
    { name: 'lastFloorNm', label: w.lastFloor, kind: 'length', signed: true, hint: w.lastFloorHint },
    { name: 'heightNm', label: f.height, kind: 'length' },
    { name: 'undersideNm', label: w.underside, kind: 'length' },
    { name: 'thicknessNm', label: w.thickness, kind: 'length' },
    { name: 'endWidthNm', label: w.endWidth, kind: 'length', need: true, aboveZero: true },
    { name: 'endDepthNm', label: w.endDepth, kind: 'length', need: true, aboveZero: true, hint: w.depthHint },
    { name: 'innerWidthNm', label: w.innerWidth, kind: 'length', need: true, aboveZero: true, when: between },
    { name: 'innerDepthNm', label: w.innerDepth, kind: 'length', need: true, aboveZero: true, when: between },
    ...buildFields([{ name: 'endWallNm', label: w.endWall }, { name: 'innerWallNm', label: w.innerWall, when: between }]),
    { name: 'bays', label: w.bays, kind: 'lengths', need: true, aboveZero: true, example: w.baysExample, hint: w.baysHint },
    { name: 'baysMeasured', label: w.baysMeasured, kind: 'flag' },
    ...shared,
    { name: 'wireCount', label: f.wireCount, kind: 'whole', hint: w.wiresHint },
    { name: 'firstWireNm', label: w.firstWire, kind: 'length', aboveZero: true },
    { name: 'spacingNm', label: w.spacing, kind: 'length', aboveZero: true, hint: w.spacingHint },
    { name: 'followsFloor', label: f.followsFloor, kind: 'flag', hint: f.followsFloorHint },
    { name: 'strand', label: f.strandName, kind: 'choice', options: named(job.strands) },
    { name: 'fittingSet', label: f.fittingName, kind: 'choice', options: named(job.fittingSets) },
    { name: 'endKind', label: f.endKind, kind: 'choice', options: options(words.endKind), hint: w.endHint },
    { name: 'lastKind', label: w.lastKind, kind: 'choice', options: options(words.endKind), hint: w.lastKindHint, when: (typed) => Boolean(typed.endKind) },
    { name: 'tensioner', label: w.tensioner, kind: 'choice', options: options(w.sides) },
    { name: 'angledSeats', label: w.angledSeats, kind: 'flag', hint: w.angledHint }
  ];
}

/** What is known of a post that is there already. */
export interface PostThere {
  floorNm?: number;
  /** Its width along its run. */
  alongNm?: number;
}

/** The floor at the last post as the job counts floors: from what stands at the first, where that is there already. */
function lastFloor(told: number | undefined, first: string | undefined, last: string | undefined, postThere: (post: string) => PostThere): number | undefined {
  if (told === undefined) return undefined;
  if (last !== undefined) throw new Error(w.floorOfShared);
  if (first === undefined) return told;
  const stands = postThere(first).floorNm;
  if (stands === undefined) throw new Error(w.floorOfFirst);
  return stands + told;
}

/** A wall leaves a hollow in its post; throws in words where it does not. */
export function checkWall(wallNm: number | undefined, widthNm: number | undefined, depthNm: number | undefined): void {
  if (wallNm !== undefined && wallNm * 2 >= Math.min(widthNm ?? Infinity, depthNm ?? Infinity)) throw new Error(w.wallFills);
}

const LENGTHS = [
  'fallNm', 'lastFloorNm', 'heightNm', 'riseNm', 'goingNm', 'overhangNm', 'undersideNm', 'thicknessNm', 'firstWireNm', 'spacingNm',
  'endWidthNm', 'innerWidthNm', 'endDepthNm', 'innerDepthNm', 'endWallNm', 'innerWallNm'
] as const;

/** The lengths as they were typed. A floor is typed against the run's first post, also where the job counts from another one. */
function planTyped(v: Record<string, Meaning>, typed: Typed, unit: LengthUnit): PlanTyped {
  const lengths = Object.entries(typedLengths(v, typed, unit, LENGTHS));
  const said: PlanTyped = Object.fromEntries(lengths.map(([name, { text, unit }]) => [name, asSaid(text, unit)]));
  const { lastFloorNm: floor } = said;
  return floor === undefined || v.firstPost === undefined ? said : { ...said, lastFloorNm: w.typed.floor(floor) };
}

/** Reads the plan; throws in words when something can't be right. */
export function planOf(v: Record<string, Meaning>, typed: Typed, unit: LengthUnit, postThere: (post: string) => PostThere = () => ({})): RunPlan {
  const num = (key: string) => v[key] as number | undefined;
  const text = (key: string) => v[key] as string | undefined;
  const baysNm = Array.isArray(v.bays) ? v.bays : [];
  const shape = v.shape === 'raked' ? 'raked' : 'level';
  const [riseNm, goingNm] = [num('riseNm'), num('goingNm')];
  if (shape === 'raked' && (!riseNm || !goingNm)) throw new Error(w.needsSlope);
  const [undersideNm, thicknessNm] = [num('undersideNm'), num('thicknessNm')];
  // What stands in one value is kept whole or asked for: nothing that is shown is dropped.
  if ((undersideNm === undefined) !== (thicknessNm === undefined)) throw new Error(w.railPair);
  const [endKind, tensioner] = [text('endKind'), text('tensioner') as RunEnds['tensioner'] | undefined];
  const lastKind = text('lastKind');
  const endsTold = endKind !== undefined && tensioner !== undefined;
  const turned = tensioner === 'left' ? [endKind] : tensioner === 'right' ? [lastKind ?? endKind] : [endKind, lastKind ?? endKind];
  if (endsTold && !turned.some(hasThread)) throw new Error(w.noThread);
  if (!endsTold && (endKind ?? tensioner ?? v.angledSeats) !== undefined) throw new Error(w.endsPair);
  // Asked before the first step, like all that the program would refuse half way.
  checkWall(num('endWallNm'), num('endWidthNm'), num('endDepthNm'));
  checkWall(num('innerWallNm'), num('innerWidthNm'), num('innerDepthNm'));
  const lastFloorNm = lastFloor(num('lastFloorNm'), text('firstPost'), text('lastPost'), postThere);
  const widthOf = (post: string | undefined) => (post === undefined ? undefined : postThere(post).alongNm);
  const count = num('wireCount');
  if (count !== undefined && (count < 1 || count > 200)) throw new Error(w.badCount);
  const wires = [count, num('firstWireNm'), num('spacingNm')].filter((one) => one !== undefined);
  // Left to the layout whole, or told whole.
  if (wires.length > 0 && wires.length < 3) throw new Error(w.wiresTogether);
  return {
    name: text('name') ?? '',
    surface: text('surface'),
    shape,
    fallNm: num('fallNm'),
    lastFloorNm,
    heightNm: num('heightNm'),
    slope: riseNm && goingNm ? { riseNm, goingNm, risers: num('risers'), overhangNm: num('overhangNm') } : undefined,
    rail: undersideNm !== undefined && thicknessNm !== undefined ? { undersideNm, thicknessNm } : undefined,
    endWidthNm: num('endWidthNm') ?? 0,
    innerWidthNm: num('innerWidthNm') ?? 0,
    endDepthNm: num('endDepthNm') ?? 0,
    innerDepthNm: num('innerDepthNm') ?? 0,
    build: text('build') as Build | undefined,
    endWallNm: num('endWallNm'),
    innerWallNm: num('innerWallNm'),
    baysNm,
    baysTyped: splitLengths(typed.bays ?? '').map((text) => ({ text, unit })),
    typed: planTyped(v, typed, unit),
    baysMeasured: v.baysMeasured === true,
    firstPost: text('firstPost'),
    lastPost: text('lastPost'),
    firstWidthNm: widthOf(text('firstPost')),
    lastWidthNm: widthOf(text('lastPost')),
    wireCount: count,
    firstWireNm: num('firstWireNm'),
    spacingNm: num('spacingNm'),
    followsFloor: v.followsFloor as boolean | undefined,
    strand: text('strand'),
    fittingSet: text('fittingSet'),
    ends: endsTold ? { kind: endKind, ...(lastKind && lastKind !== endKind ? { lastKind } : {}), tensioner } : undefined,
    angledSeats: v.angledSeats as boolean | undefined
  };
}
