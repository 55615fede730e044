// Laying out wires and the drilling template: what is asked, and how a proposal is told. Pure but for the calls.
import { call } from '$lib/core/call';
import { length, limit, newtons } from '$lib/core/format.svelte';
import type { Typed as TypedForm } from '$lib/core/form';
import { NM_PER_MM, type LengthUnit } from '$lib/core/length';
import type { FaceSide, LayoutProposals, LayoutWishes, PaperSize, Proposal, Recorded, SharedPost, StairAt, TemplateWritten } from '$lib/generated/api';
import { words } from '$lib/words';

const w = words.laying;

export const loadLayout = (job: string, run: string, wishes: LayoutWishes): Promise<LayoutProposals> => call('layOut', { job, run, wishes });

/** Takes a proposal as it was shown; where it is no longer proposed nothing is taken. */
export const takeLayout = (job: string, run: string, wishes: LayoutWishes, seen: Proposal, confirmed: boolean): Promise<Recorded> =>
  call('takeLayout', { job, run, wishes, heightsNm: seen.heightsNm, confirmed });

/** Puts the holes of a run's end off the middle of their face, away from where another run's enter. */
export const putAside = (job: string, run: string, post: string, mm: number, otherEnters: FaceSide, confirmed: boolean): Promise<Recorded> =>
  call('putAside', { job, run, post, off: { text: String(mm), unit: 'mm' }, otherEnters, confirmed });

export const writeTemplate = (job: string, run: string, post: string, paper: PaperSize, unit: LengthUnit): Promise<TemplateWritten> =>
  call('drillingTemplate', { job, run, paper, unit, ...(post ? { post } : {}) });

export const WISHES = ['rail', 'bottom', 'inHand', 'widest', 'overhang'] as const;

/** What was typed, as the program takes it; what is left empty is left out. */
export function wishesOf(typed: TypedForm, unit: LengthUnit): LayoutWishes {
  const told = WISHES.flatMap((name) => {
    const text = (typed[name] ?? '').trim();
    return text ? [[name, { text, unit }] as const] : [];
  });
  return { unit, ...Object.fromEntries(told) };
}

/** Millimetres in the unit on screen, with it. */
export const told = (mm: number): string => length(Math.round(mm * NM_PER_MM));

/** A row of the table or the rules' sphere: nothing is told as larger than it is. */
const row = (mm: number): string => limit(Math.round(mm * NM_PER_MM));
/** What is in hand, or what a wire stands below: the same without the millimetres. */
const hand = (mm: number): string => length(Math.round(mm * NM_PER_MM), undefined, 'down');

/** What a proposal comes to: what is in hand and what the table asks, in two short lines. */
export function proposalLines(p: Proposal): string[] {
  const square = Math.abs(p.spacingMm - p.spacingSquareMm) > 0.05 ? `, ${w.square(told(p.spacingSquareMm))}` : '';
  const [bottom, top] = [p.heightsNm[0] ?? 0, p.heightsNm.at(-1) ?? 0];
  const before = p.next ? w.beforeRow(row(p.next.atMm)) : w.belowWanted(row(p.rowMm));
  const asks = p.outcome === 'figure' && p.leastTensionN !== null ? w.asks(newtons(p.leastTensionN)) : p.outcome === 'notAllowed' ? w.notAllowed : w.outside;
  if (p.heightsNm.length === 1) return [w.one(length(bottom)), asks];
  return [`${w.apart(told(p.spacingMm))}${square}, ${w.fromTo(length(bottom), length(top))}`, `${w.hand(hand(p.inHandMm))} ${before}; ${asks}`];
}

type Laid = Pick<LayoutProposals, 'sphereMm' | 'followsFloor' | 'railFollowsFloor'>;

/** Where the rule set's sphere passes at rest with a proposal, each in one sentence: between the wires, below the bottom one, above the top one, in a stair's triangle. */
export function passing(p: Proposal, { sphereMm, followsFloor, railFollowsFloor }: Laid): string[] {
  const [floor, rail] = [p.floor.filter((f) => f.countsPasses), p.rail.filter((r) => r.passes)];
  const below = floor.map((f) => w.placeWide(f.name, told(f.countsMm)));
  const above = rail.map((r) => w.placeWide(r.name, told(r.widestMm)));
  const sphere = sphereMm === null ? '' : row(sphereMm);
  return [
    ...(p.betweenPasses && sphere ? [w.spherePasses(sphere)] : []),
    ...(below.length > 0 && sphere ? [`${w.floorPasses(sphere, below.join('; '))} ${w.floorBy(followsFloor)}`] : []),
    ...(above.length > 0 && sphere ? [`${w.railPasses(sphere, above.join('; '))} ${w.railBy(followsFloor, railFollowsFloor)}`] : []),
    ...(p.stair?.passes && p.stair.ruleSphereMm !== null ? [w.stairPasses(row(p.stair.ruleSphereMm))] : [])
  ];
}

/** Proposals that a person would take first: what the table allows and the sphere does not pass, the fewest wires first. */
export function byUse(all: Proposal[]): Proposal[] {
  const passes = (p: Proposal) => p.spherePasses || p.stair?.passes || p.floor.some((f) => f.countsPasses) || p.rail.some((r) => r.passes);
  const rank = (p: Proposal) => (p.outcome === 'notAllowed' ? 2 : passes(p) ? 1 : 0);
  return [...all].sort((a, b) => rank(a) - rank(b) || a.heightsNm.length - b.heightsNm.length);
}

type Standing = Pick<LayoutProposals, 'presentNm' | 'overhangNm' | 'presentOverhangNm'>;

const sameHeights = (p: Proposal, present: number[]): boolean => p.heightsNm.length === present.length && p.heightsNm.every((nm, i) => nm === present[i]);

/** Whether these heights stand in the record already, and the overhang by which they were laid out. */
export const standing = (p: Proposal, found: Standing): boolean => sameHeights(p, found.presentNm) && found.overhangNm === found.presentOverhangNm;

/** What taking it into the record comes to: the wires, or the overhang alone where their heights stand. */
export const takeText = (p: Proposal, found: Standing): string =>
  found.overhangNm !== null && sameHeights(p, found.presentNm) ? w.takeOverhang(length(found.overhangNm)) : w.take(p.heightsNm.length);

/** What two runs in one post ask for. */
export function sharedText(s: SharedPost): string {
  const head = w.shared(words.postName(s.post), words.runName(s.stays));
  if (s.close === 0) return `${head}: ${w.sharedFine(told(s.woodMm))}`;
  const ways = [s.upMm === null ? '' : w.up(told(s.upMm)), s.downMm === null ? '' : w.down(told(s.downMm))].filter(Boolean);
  const aside = s.asideMm === null ? '' : w.sharedAside(told(s.asideMm), words.runName(s.stays));
  if (ways.length > 0) return [`${head}: ${w.sharedMove(ways.join(w.or))}`, aside].filter(Boolean).join(' ');
  // Where no way helps the program says why, and what does.
  return aside ? `${head}: ${w.sharedNoWay} ${aside}` : s.sentence;
}

/** What all proposals say alike of a shared post: told once, before them. */
export function sharedByAll(proposals: Proposal[]): SharedPost[] {
  const [first, ...others] = proposals;
  const says = (p: Proposal, text: string) => p.sharedPosts.some((s) => sharedText(s) === text);
  return first && others.length > 0 ? first.sharedPosts.filter((s) => others.every((p) => says(p, sharedText(s)))) : [];
}

/** The bottom wire's height that moves a proposal up or down, as it would be typed. */
export function movedBottom(p: Proposal, byMm: number, bare: (nm: number) => string): string {
  return bare((p.heightsNm[0] ?? 0) + Math.round(byMm * NM_PER_MM));
}

export function stairText(s: StairAt): string {
  const head = w.stairSphere(told(s.sphereMm));
  if (s.ruleSphereMm === null) return `${head} ${w.stairNone(told(s.aboveNosingsMm))}`;
  return `${head} ${s.belowMm === null ? w.stairAlways(row(s.ruleSphereMm)) : w.stairRule(row(s.ruleSphereMm), hand(s.belowMm))}`;
}
