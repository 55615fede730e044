// A new run from what a person types about the line: the fields of the run, then of each post, then its bays. Pure.
import { BETWEEN_LENGTHS, asSaid, type TypedLength } from '$lib/core/length';
import { words } from '$lib/words';
import type { NewClaim } from './backend';
import { hasThread } from './end-kinds';

export interface RunPlan {
  name: string;
  surface?: string;
  shape: 'level' | 'raked';
  fallNm?: number;
  /** Floor level at the last post against the first. */
  lastFloorNm?: number;
  heightNm?: number;
  slope?: { riseNm: number; goingNm: number; risers?: number; overhangNm?: number };
  rail?: { undersideNm: number; thicknessNm: number };
  endWidthNm: number;
  innerWidthNm: number;
  /** Across the run. */
  endDepthNm: number;
  innerDepthNm: number;
  /** How the posts are built; none where nobody told. */
  build?: Build;
  endWallNm?: number;
  innerWallNm?: number;
  /** Clear distances between the posts, level, from the left. */
  baysNm: number[];
  /** The same as they were typed: what the record keeps of a reading. */
  baysTyped: TypedLength[];
  /** What was typed of the other lengths, each with its unit. */
  typed: PlanTyped;
  /** The bays were read with a tape; otherwise they only place the posts. */
  baysMeasured: boolean;
  /** An existing post that this run begins or ends at, by its subject. */
  firstPost?: string;
  lastPost?: string;
  /** Widths along the run of posts that are there already: the new run's bays are clear of those. */
  firstWidthNm?: number;
  lastWidthNm?: number;
  /** Number and heights of the wires, all three or none: the layout may propose them later. */
  wireCount?: number;
  firstWireNm?: number;
  spacingNm?: number;
  /** Wire heights are marked from the floor at each post (true) or level from the first. */
  followsFloor?: boolean;
  strand?: string;
  fittingSet?: string;
  /** Kind and tensioner of the ends; none where nobody told them. */
  ends?: { kind: string; lastKind?: string; tensioner: 'left' | 'right' | 'both' };
  /** Angled seats under the fittings, as on a rake; not recorded where nobody knows. */
  angledSeats?: boolean;
}

/** What was typed of a plan's figures, by their names. */
export type PlanTyped = Partial<
  Record<'fallNm' | 'lastFloorNm' | 'heightNm' | 'riseNm' | 'goingNm' | 'overhangNm' | 'undersideNm' | 'thicknessNm' | 'firstWireNm' | 'spacingNm' | WidthTyped, string>
>;
type WidthTyped = 'endWidthNm' | 'innerWidthNm' | 'endDepthNm' | 'innerDepthNm' | 'endWallNm' | 'innerWallNm';

export type Build = 'solid' | 'hollow';

/** A post's section as the record has it: nothing said of its build where nobody told. */
export function postSection(alongNm: number, acrossNm: number, build?: Build, wallNm?: number) {
  return { alongNm, acrossNm, ...(build === 'hollow' && wallNm !== undefined ? { wallNm } : {}), ...(build && { solid: build === 'solid' }) };
}

type First = Omit<NewClaim, 'subject'>;

/** A first field with what was typed of it, where that is known. */
export function first(field: string, value: unknown, entered: string | undefined, place?: string): First {
  return { field, ...(place ? { place } : {}), value, ...(entered ? { context: { entered } } : {}) };
}

/** What was typed of several figures of one value: told where all of them are known. */
export function together(tell: (...typed: string[]) => string, ...typed: (string | undefined)[]): string | undefined {
  const known = typed.filter((one) => one !== undefined);
  return known.length === typed.length ? tell(...known) : undefined;
}

/** What was typed of a post's section. */
export function sectionTyped(along: string | undefined, across: string | undefined, wall: string | undefined): string | undefined {
  const w = words.newRun.typed;
  return together((a, b) => w.section(a, b) + (wall === undefined ? '' : w.wall(wall)), along, across);
}

/** Heights of the wires from the bottom, evenly spaced. */
export function wireHeights(count: number, firstNm: number, spacingNm: number): number[] {
  return Array.from({ length: count }, (_, i) => firstNm + i * spacingNm);
}

/** Middles of the posts along the run, from the middle of the first. */
export function positions({ baysNm, ...plan }: Pick<RunPlan, 'baysNm' | 'endWidthNm' | 'innerWidthNm' | 'firstWidthNm' | 'lastWidthNm'>): number[] {
  let at = 0;
  const width = (i: number) => (i === 0 ? (plan.firstWidthNm ?? plan.endWidthNm) : i === baysNm.length ? (plan.lastWidthNm ?? plan.endWidthNm) : plan.innerWidthNm);
  return [0, ...baysNm.map((bay, i) => (at += Math.round(width(i) / 2) + bay + Math.round(width(i + 1) / 2)))];
}

/** What was typed of a slope; an overhang is told where it was typed. */
function slopeTyped(t: PlanTyped): string | undefined {
  const w = words.newRun.typed;
  return together((rise, going) => w.slope(rise, going) + (t.overhangNm === undefined ? '' : w.overhang(t.overhangNm)), t.riseNm, t.goingNm);
}

/** Number and heights of the wires where they are told. */
function wireFields({ wireCount: count, firstWireNm: from, spacingNm: every, typed: t }: RunPlan): First[] {
  if (count === undefined || from === undefined || every === undefined) return [];
  const typed = together((first, each) => words.newRun.typed.wires(count, first, each), t.firstWireNm, t.spacingNm);
  return [first('wireCount', count, undefined), first('wireHeights', { nm: wireHeights(count, from, every) }, typed)];
}

/** First fields of the run itself. */
export function runFields(plan: RunPlan): First[] {
  const said = (field: string, value: unknown, entered?: string): First[] => (value === undefined ? [] : [first(field, value, entered)]);
  const [t, w] = [plan.typed, words.newRun.typed];
  const nm = (v: number | undefined) => (v === undefined ? undefined : { nm: v });
  return [
    ...said('name', plan.name),
    ...said('surface', plan.surface),
    ...said('shape', plan.shape),
    ...said('fall', nm(plan.fallNm), t.fallNm),
    ...said('height', nm(plan.heightNm), t.heightNm),
    ...said('slope', plan.shape === 'raked' ? plan.slope : undefined, slopeTyped(t)),
    ...said('rail', plan.rail, together(w.rail, t.undersideNm, t.thicknessNm)),
    ...wireFields(plan),
    ...said('followsFloor', plan.followsFloor),
    ...said('strand', plan.strand),
    ...said('fittingSet', plan.fittingSet)
  ];
}

export interface PostPlan {
  /** The subject of a post that is there already. */
  shared?: string;
  /** Fields of the post itself; empty for a shared one. */
  own: First[];
  /** Its place, role and end in the new run. */
  inRun: First[];
}

/** What was typed that a post's place follows from: the bays up to it and how wide posts are. The first stands at nothing. */
function placeTyped({ baysTyped, typed, firstWidthNm, lastWidthNm }: RunPlan, post: number): string | undefined {
  // A post that is there already counts with its own width, whatever was typed of end posts.
  const ownWidth = firstWidthNm !== undefined || (post === baysTyped.length && lastWidthNm !== undefined);
  if (ownWidth) return undefined;
  const before = baysTyped.slice(0, post).map(({ text, unit }) => asSaid(text, unit));
  if (post === 0 || before.length < post) return undefined;
  const { endWidthNm: ends } = typed;
  if (baysTyped.length === 1) return ends && words.newRun.typed.placeOfOne(before.join(BETWEEN_LENGTHS), ends);
  return together((ends, between) => words.newRun.typed.place(before.join(BETWEEN_LENGTHS), ends, between), typed.endWidthNm, typed.innerWidthNm);
}

/** The posts from the left. End posts first in order of making, so that the others stand between them. */
export function postPlans(plan: RunPlan, run: string): PostPlan[] {
  const [last, t] = [plan.baysNm.length, plan.typed];
  return positions(plan).map((position, i) => {
    const end = i === 0 || i === last;
    const shared = i === 0 ? plan.firstPost : i === last ? plan.lastPost : undefined;
    const section = end
      ? postSection(plan.endWidthNm, plan.endDepthNm, plan.build, plan.endWallNm)
      : postSection(plan.innerWidthNm, plan.innerDepthNm, plan.build, plan.innerWallNm);
    const asTyped = end ? sectionTyped(t.endWidthNm, t.endDepthNm, t.endWallNm) : sectionTyped(t.innerWidthNm, t.innerDepthNm, t.innerWallNm);
    const own: First[] = [
      { field: 'name', value: `${plan.name}${i + 1}` },
      first('section', section, asTyped)
    ];
    // Told at both ends: the one is what the other is read against.
    if (end && plan.lastFloorNm !== undefined) own.push(first('floor', { nm: i === 0 ? 0 : plan.lastFloorNm }, i === 0 ? undefined : t.lastFloorNm));
    const inRun: First[] = [
      first('position', { nm: position }, placeTyped(plan, i), run),
      { field: 'role', place: run, value: end ? 'anchor' : 'intermediate' }
    ];
    if (end && plan.ends) {
      const kind = i === 0 ? plan.ends.kind : (plan.ends.lastKind ?? plan.ends.kind);
      const tensioner = hasThread(kind) && (plan.ends.tensioner === 'both' || plan.ends.tensioner === (i === 0 ? 'left' : 'right'));
      const seat = plan.angledSeats === undefined ? {} : { angledSeat: plan.angledSeats };
      inRun.push({ field: 'end', place: run, value: { kind, hand: i === 0 ? 'LH' : 'RH', tensioner, ...seat } });
    }
    return shared ? { shared, own: [], inRun } : { own, inRun };
  });
}
