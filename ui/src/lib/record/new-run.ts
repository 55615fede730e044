// A new run as one act: from what a person types about the line to the claims that say it. Pure but for new ids.
import { newId } from '$lib/core/id';
import type { NewClaim } from './backend';

export interface RunPlan {
  name: string;
  surface: string;
  shape: 'level' | 'raked';
  fallNm?: number;
  heightNm?: number;
  slope?: { riseNm: number; goingNm: number; risers?: number };
  rail?: { undersideNm: number; thicknessNm: number; stiffnessNPerM?: number; stiffnessHeightNm?: number };
  endWidthNm: number;
  innerWidthNm: number;
  /** Clear distances between the posts, level, from the left. */
  baysNm: number[];
  /** The bays were read with a tape; otherwise they only place the posts. */
  baysMeasured: boolean;
  /** An existing post that this run begins or ends at. */
  firstPost?: string;
  lastPost?: string;
  wireCount: number;
  firstWireNm: number;
  spacingNm: number;
  strand?: string;
  fittingSet?: string;
  endKind: string;
  tensioner: 'left' | 'right' | 'both';
}

/** Heights of the wires from the bottom, evenly spaced. */
export function wireHeights(count: number, firstNm: number, spacingNm: number): number[] {
  return Array.from({ length: count }, (_, i) => firstNm + i * spacingNm);
}

/** Middles of the posts along the run, from the middle of the first. */
export function positions(baysNm: number[], endNm: number, innerNm: number): number[] {
  let at = 0;
  const width = (i: number) => (i === 0 || i === baysNm.length ? endNm : innerNm);
  return [0, ...baysNm.map((bay, i) => (at += Math.round(width(i) / 2) + bay + Math.round(width(i + 1) / 2)))];
}

/** Everything that the plan says, as claims, first what names the run. */
export function runClaims(plan: RunPlan): { run: string; claims: NewClaim[] } {
  const run = newId();
  const subject = `run:${run}`;
  const said = (field: string, value: unknown): NewClaim[] => (value === undefined ? [] : [{ subject, field, value }]);
  const nm = (v: number | undefined) => (v === undefined ? undefined : { nm: v });
  const claims: NewClaim[] = [
    ...said('name', plan.name),
    ...said('surface', plan.surface),
    ...said('shape', plan.shape),
    ...said('fall', nm(plan.fallNm)),
    ...said('height', nm(plan.heightNm)),
    ...said('slope', plan.shape === 'raked' ? plan.slope : undefined),
    ...said('rail', plan.rail),
    ...said('wireCount', plan.wireCount),
    ...said('wireHeights', { nm: wireHeights(plan.wireCount, plan.firstWireNm, plan.spacingNm) }),
    ...said('strand', plan.strand),
    ...said('fittingSet', plan.fittingSet)
  ];
  return { run, claims: [...claims, ...postClaims(plan, run)] };
}

function postClaims(plan: RunPlan, run: string): NewClaim[] {
  const claims: NewClaim[] = [];
  const last = plan.baysNm.length;
  const at = positions(plan.baysNm, plan.endWidthNm, plan.innerWidthNm);
  const ids = at.map((_, i) => (i === 0 && plan.firstPost) || (i === last && plan.lastPost) || newId());
  at.forEach((position, i) => {
    const subject = `post:${ids[i]}`;
    const end = i === 0 || i === last;
    const shared = (i === 0 && plan.firstPost) || (i === last && plan.lastPost);
    if (!shared) {
      const width = end ? plan.endWidthNm : plan.innerWidthNm;
      claims.push({ subject, field: 'name', value: `${plan.name}${i + 1}` });
      claims.push({ subject, field: 'section', value: { alongNm: width, acrossNm: width } });
    }
    claims.push({ subject, field: 'position', place: run, value: { nm: position } });
    claims.push({ subject, field: 'role', place: run, value: end ? 'anchor' : 'intermediate' });
    if (end) {
      const side = i === 0 ? 'left' : 'right';
      const tensioner = plan.tensioner === 'both' || plan.tensioner === side;
      claims.push({ subject, field: 'end', place: run, value: { kind: plan.endKind, hand: i === 0 ? 'LH' : 'RH', tensioner } });
    }
  });
  if (plan.baysMeasured) {
    plan.baysNm.forEach((bay, i) => {
      const context = { along: 'level', instrument: 'tape' };
      claims.push({ subject: baySubject(ids[i] ?? '', ids[i + 1] ?? ''), field: 'clear', value: { nm: bay }, context });
    });
  }
  return claims;
}

/** A bay is the pair of its posts' ids, smaller first. */
export function baySubject(a: string, b: string): string {
  return a < b ? `bay:${a}:${b}` : `bay:${b}:${a}`;
}
