// Post faces that are drilled alike: what is told of them. Pure; the program groups them.
import { length, number } from '$lib/core/format.svelte';
import { NM_PER_MM, type Rounding } from '$lib/core/length';
import type { FaceGroup, HoleLine } from '$lib/generated/api';
import { words } from '$lib/words';

const w = words.holes;
/** Centre to centre may be out by so much before a line is marked, mm. */
const OFF_PLAN_MM = 2;
/** A drill that rises by less is held square, degrees. */
const SQUARE_DEG = 0.05;

/** `Post A1 towards A2`; `Posts A2, A4, A5, both faces`. */
export const headOf = (group: FaceGroup): string => w.posts(new Set(group.faces.map((f) => f.post)).size, group.title);

/** The holes of each of its faces, told by the first one. */
export function linesOf(group: FaceGroup, holes: HoleLine[]): HoleLine[] {
  const first = group.faces[0];
  return holes.filter((h) => h.post === first?.post && h.face === first.face);
}

/** Whether one sentence tells how every hole is drilled. */
export const sameDrill = (lines: HoleLine[]): boolean => new Set(lines.map(drillText)).size === 1;

/** `12 mm, 62 mm deep, LH, rising 35.5° towards the run’s end`. */
export function drillText(hole: HoleLine): string {
  const mm = (v: number, rounding: Rounding = 'nearest') => length(Math.round(v * NM_PER_MM), undefined, rounding);
  const rise = Math.abs(hole.riseDeg) > SQUARE_DEG ? (hole.riseDeg > 0 ? w.rising : w.falling)(number(Math.abs(hole.riseDeg), 1)) : '';
  const aside = hole.asideMm === 0 ? '' : (hole.asideMm > 0 ? w.rightOf : w.leftOf)(mm(Math.abs(hole.asideMm)));
  return [mm(hole.diameterMm), (hole.through ? w.throughLong : w.deep)(mm(hole.depthMm, 'up')), hole.hand ?? '', aside, rise].filter(Boolean).join(', ');
}

export interface DrilledAt {
  post: string;
  name: string;
  /** Centre to centre down to the wire below, by wire, mm. */
  below: Record<number, number>;
}

/** Posts of the group that were read as drilled; both faces of one tell the same. */
export function drilledAt(group: FaceGroup, holes: HoleLine[]): DrilledAt[] {
  const found: DrilledAt[] = [];
  for (const { post, postName, face } of group.faces) {
    if (found.some((p) => p.post === post)) continue;
    const read = holes.filter((h) => h.post === post && h.face === face).flatMap((h) => (h.drilledBelowMm === null ? [] : [[h.wire, h.drilledBelowMm] as const]));
    if (read.length > 0) found.push({ post, name: postName, below: Object.fromEntries(read) });
  }
  return found;
}

export const offPlan = (drilled: number | undefined, planned: number | null): boolean =>
  drilled !== undefined && planned !== null && Math.abs(drilled - planned) > OFF_PLAN_MM;
