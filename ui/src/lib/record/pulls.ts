// Posts under pull and known pulls: what is asked of the program, and figures in the order they are read. Pure but for the calls.
import { call } from '$lib/core/call';
import { length, newtons, number, unbroken } from '$lib/core/format.svelte';
import type { AskPush, BayPushed, ByBase, PostAsked, PostHeld, PostsAsked, PushedView, ReadPull, Recorded, UnderPush } from '$lib/generated/api';
import { words } from '$lib/words';
import type { Job, Post, Run } from './view';

export const loadPosts = (job: string, run: string): Promise<PostsAsked> => call('postsAsked', { job, run });
export const loadPush = (job: string, run: string, asked: Pick<AskPush, 'sphere' | 'push'>): Promise<PushedView> => call('underPush', { job, run, ...asked });

export type Pull = Pick<ReadPull, 'newtons' | 'at' | 'moved' | 'railOn' | 'remark'>;

export function readPull(job: string, run: string, post: string, pull: Pull, confirmed: boolean): Promise<Recorded> {
  return call('readPull', { job, run, post, ...pull, confirmed });
}

const w = words.pulls;
const mm = (v: number) => unbroken(`${number(v, 1)} mm`);

export interface Figure {
  name: string;
  figure: string;
  note?: string;
}

/** Stress at the base and what it hangs on; what is missing where it can't be told. */
export function stressText(h: PostHeld): string {
  if (h.baseStressMpa === null) return w.noWall;
  const mpa = `${number(h.baseStressMpa, 1)} MPa`;
  return h.takenAsSolid ? w.ifSolid(mpa) : mpa;
}

/** The figures of one way of holding, as rows. */
export function figuresOf(h: PostHeld, at: number): Figure[] {
  return [
    { name: w.moment, figure: unbroken(`${number(h.baseMomentNm, 0)} N·m`) },
    ...(h.baseStressMpa === null ? [] : [{ name: w.stress, figure: stressText(h) }]),
    ...(h.tipMm === null ? [] : [{ name: w.tip(mm(at)), figure: mm(h.tipMm) }]),
    ...(h.fixingForceN === null ? [] : [{ name: w.fixing, figure: newtons(h.fixingForceN) }]),
    ...(h.railForceN === null ? [] : [{ name: h.railForceN < 0 ? w.pullsJoint : w.presses, figure: newtons(Math.abs(h.railForceN)) }])
  ];
}

/** What one reading of base and stiffness says otherwise than the figures that lead, each the greater of both. */
export function otherwise(h: PostHeld, by: ByBase, at: number): Figure[] {
  const own = figuresOf({ ...h, ...by }, at);
  const lead = figuresOf(h, at);
  return own.filter((f) => !lead.some((l) => l.name === f.name && l.figure === f.figure));
}

/** The same in one line for below a figure: nothing where there is one reading. */
export function besideText(h: PostHeld, at: number): string {
  const each = h.byBase.map((by) => [by.name, otherwise(h, by, at)] as const).filter(([, list]) => list.length > 0);
  return each.map(([name, list]) => `${name}: ${list.map((f) => f.figure).join(', ')}`).join('; ');
}

/** The ways of holding that ask most, and from whom: all runs together where there are several and that asks more. */
export function hardest(p: PostAsked): { held: PostHeld[]; together: boolean } {
  const most = (held: PostHeld[]) => Math.max(0, ...held.map((h) => h.baseMomentNm));
  const all = p.together?.held ?? [];
  return most(all) > most(p.held) ? { held: all, together: true } : { held: p.held, together: false };
}

/** What a post is asked for most, to be read first: the greatest moment, and beside it that with the rail. */
export function demandOf(p: PostAsked): { figure: string; note: string } {
  const nm = (h: PostHeld) => `${number(h.baseMomentNm, 0)} N·m`;
  if (p.wallPullN !== null) return { figure: newtons(p.wallPullN), note: `${w.wallEnd}: ${words.ordering.pulls(p.wires, newtons(p.tensionN))}` };
  const { held, together } = hardest(p);
  const [most, ...rest] = [...held].sort((a, b) => b.baseMomentNm - a.baseMomentNm);
  if (!most) return { figure: '', note: words.ordering.pulls(p.wires, newtons(p.tensionN)) };
  const how = (h: PostHeld) => words.ordering.held[h.held].toLowerCase();
  const stress = most.baseStressMpa === null ? '' : stressText(most);
  // A rail that does not give is a limit, told in the post's own figures.
  const note = [[how(most), stress].filter(Boolean).join(', '), ...rest.filter((h) => h.held !== 'propped').map((h) => `${how(h)} ${nm(h)}`)];
  const own = p.own ? w.ofOwn(`${number(p.own.strengthMpa, 1)} MPa`) : '';
  return { figure: nm(most), note: [together ? w.together.toLowerCase() : '', [...note, own].filter(Boolean).join('; ')].filter(Boolean).join(': ') };
}

/** Movement at each wire of this run, top wire first, in every way of holding that tells it: by this run alone, and by all together where there are several. */
export function atWires(p: PostAsked): { wire: number; height: string; moved: string }[] {
  const told = (held: PostHeld[]) => held.filter((h) => h.wiresMm.length >= p.wireHeightsMm.length);
  // The wires of this run stand first among those of all.
  const at = (held: PostHeld[], i: number) => told(held).map((h) => `${words.ordering.held[h.held].toLowerCase()} ${mm(h.wiresMm[i] ?? 0)}`).join(', ');
  const all = p.together?.held ?? [];
  if (told(p.held).length + told(all).length === 0) return [];
  return p.wireHeightsMm
    .map((height, i) => ({
      wire: i + 1,
      height: mm(height),
      moved: [at(p.held, i), at(all, i) && `${w.together.toLowerCase()}: ${at(all, i)}`].filter(Boolean).join('; ')
    }))
    .reverse();
}

/** Where angles are asked at a post: between this run and each other one on it, and at a corner between its own sides. */
export function anglesAt(job: Job, run: Run, post: Post): { place: string; label: string }[] {
  const others = job.runs.filter((r) => r.id !== run.id && r.posts.some((p) => p.id === post.id && p.role !== 'intermediate'));
  const pair = (id: string) => [run.id, id].sort().join('/');
  return [
    ...(post.role === 'corner' ? [{ place: run.id, label: w.corner(run.name) }] : []),
    ...others.map((r) => ({ place: pair(r.id), label: w.angle(run.name, r.name) }))
  ];
}

/** A known pull in words. */
export function pullText(value: unknown): string {
  const v = value as { mn: number; atNm: number; movedNm: number; railOn: boolean };
  return `${w.told(newtons(v.mn / 1000), length(v.atNm), length(v.movedNm))}, ${(v.railOn ? w.rails.on : w.rails.off).toLowerCase()}`;
}

const p = words.push;

/** The bay to show first: the one that holds the sphere least. */
export function leastBay(bays: BayPushed[]): number {
  const force = (b: BayPushed) => {
    const o = b.openings.find((x) => x.lower === b.weakest);
    return o === undefined ? Infinity : o.passesFreely ? 0 : (o.forceN ?? Infinity);
  };
  const forces = bays.map(force);
  return Math.max(0, forces.indexOf(Math.min(...forces)));
}

/** Which opening it is, in words. */
export function openingName(o: UnderPush): string {
  if (o.between === 'floorAndWire') return p.floor;
  return o.between === 'wires' ? words.gaps.between(o.lower, o.lower + 1) : p.rail(o.lower);
}

/** The one figure of an opening: the force at which the sphere passes. */
export function openingFigure(o: UnderPush): string {
  if (o.passesFreely) return p.passes;
  return o.forceN === null ? '' : newtons(o.forceN);
}

/** What stands behind it: clear at rest and under the push, tension and origin, and the gripped figure. */
export function openingNote(o: UnderPush): string {
  const rest = mm(o.atRestMm);
  const origin = words.origins[o.origin];
  return [
    o.underPushMm === null || o.passesFreely ? `${rest}, ${origin}` : `${p.opens(`${rest} (${origin})`, mm(o.underPushMm))}`,
    o.tensionN === null || o.tensionOrigin === null ? '' : p.at(newtons(o.tensionN), words.origins[o.tensionOrigin]),
    o.rigidN === null ? '' : p.rigid(newtons(o.rigidN)),
    o.grippedN === null || o.passesFreely ? '' : p.gripped(newtons(o.grippedN)),
    o.passes && !o.passesFreely ? (o.needsN === null ? p.heldByNone : `${p.needs(newtons(o.needsN))}${o.needsTooMuch ? p.tooMuch : ''}`) : ''
  ].filter(Boolean).join('; ');
}

/** Pixels a section needs so that its figures can be read one below the other. */
export function sectionTall(openings: number): number {
  return Math.max(300, openings * 30 + 60);
}

/** Of the notes on a run's posts those that are about this one, or about none by name. */
export function notesOf(notes: string[], post: string, posts: string[]): string[] {
  // The longest name first: what "A4a" is called is no word on "A4". A run may bear a post's name.
  const all = [...new Set([...posts, post])].sort((a, b) => b.length - a.length);
  const named = (note: string) => {
    let rest = note;
    return all.filter((name) => {
      const at = new RegExp(`\\bposts? ${name.replace(/[.*+?^${}()|[\]\\]/g, '\\$&')}(?![\\p{L}\\p{N}])`, 'giu');
      const found = at.test(rest);
      rest = rest.replace(at, ' ');
      return found;
    });
  };
  return notes.filter((note) => {
    const of = named(note);
    return of.length === 0 || of.includes(post);
  });
}
