// Puts a planned run, or a post added to one, into the record step by step; what was kept stays when a step is refused.
import { measureBay } from './acts';
import { addThing, loadJob, say, type Recorded } from './backend';
import { first, postPlans, postSection, runFields, sectionTyped, together, type Build, type RunPlan } from './new-run';
import { nmOf, valueOf, type Bay, type Run } from './view';
import { NM_PER_MM, asSaid, type TypedLength } from '$lib/core/length';
import { words } from '$lib/words';

const idOf = (subject: string | undefined) => (subject ?? '').split(':')[1] ?? '';
const typed = (nm: number): TypedLength => ({ text: String(nm / NM_PER_MM), unit: 'mm' });

/** A bay's reading as it was typed: the program reads all that the screens read. */
export function bayTyped(plan: RunPlan, i: number): TypedLength {
  return plan.baysTyped[i] ?? typed(plan.baysNm[i] ?? 0);
}

/**
 * Answers the run's id. End posts are made first, so that those between them are found inside the run.
 * The program may question the run, the first step; posts and bays were asked about before it (`oddPost`, `oddBay`).
 */
export async function makeRun(job: string, plan: RunPlan, confirmed: boolean): Promise<string> {
  const run = idOf((await addThing(job, 'run', runFields(plan), confirmed)).created);
  const plans = postPlans(plan, run);
  const order = [0, plans.length - 1, ...plans.keys()].filter((n, i, all) => all.indexOf(n) === i);
  for (const i of order) {
    const post = plans[i];
    if (!post) continue;
    if (post.shared) {
      const subject = post.shared;
      await say(job, post.inRun.map((f) => ({ subject, ...f })), true);
    } else {
      await addThing(job, 'post', [...post.own, ...post.inRun], true);
    }
  }
  if (plan.baysMeasured) {
    const bays = await baysOf(job, run);
    for (const i of plan.baysNm.keys()) {
      const subject = bays[i]?.subject;
      if (subject) await measureBay(job, subject, bayTyped(plan, i), { along: 'level', instrument: 'tape' }, [], true);
    }
  }
  return run;
}

/** The run's bays as the record names them. */
async function baysOf(job: string, run: string): Promise<Bay[]> {
  return (await loadJob(job)).runs.find((r) => r.id === run)?.bays ?? [];
}

export interface AddedPost {
  name: string;
  widthNm: number;
  depthNm: number;
  build?: Build;
  wallNm?: number;
  leftNm: number;
  rightNm: number;
  /** Both clear distances were read with a tape; otherwise they only place the post. */
  measured: boolean;
  /** The lengths as they were typed. */
  typed: Partial<Record<'width' | 'depth' | 'wall' | 'left' | 'right', TypedLength>>;
}

/** A post in a bay: it stands behind its left neighbour, and the bay becomes two. */
export async function addPost(job: string, run: Run, bay: Bay, post: AddedPost, confirmed: boolean): Promise<Recorded> {
  const [a] = bay.posts;
  const said = (name: keyof AddedPost['typed']) => post.typed[name] && asSaid(post.typed[name].text, post.typed[name].unit);
  const made = await addThing(job, 'post', [
    { field: 'name', value: post.name },
    first('section', postSection(post.widthNm, post.depthNm, post.build, post.wallNm), sectionTyped(said('width'), said('depth'), said('wall'))),
    first('position', { nm: middleOf(run, a, post) }, together(words.newRun.typed.beside, said('left'), said('width')), run.id),
    { field: 'role', place: run.id, value: 'intermediate' }
  ], confirmed);
  const id = idOf(made.created);
  const entries = [...made.entries];
  if (!post.measured) return { entries, created: made.created };
  for (const next of await baysOf(job, run.id)) {
    const clear = next.posts[1] === id ? (post.typed.left ?? typed(post.leftNm)) : next.posts[0] === id ? (post.typed.right ?? typed(post.rightNm)) : undefined;
    if (clear !== undefined) entries.push(...(await measureBay(job, next.subject, clear, { along: 'level', instrument: 'tape' }, [], true)).entries);
  }
  return { entries, created: made.created };
}

/** Middle of an added post along the run. */
export function middleOf(run: Run, left: string, post: AddedPost): number {
  const before = run.posts.find((p) => p.id === left);
  const at = nmOf(before, 'position', run.id) ?? 0;
  const width = valueOf<{ alongNm: number }>(before, 'section')?.alongNm ?? 0;
  return at + Math.round(width / 2) + post.leftNm + Math.round(post.widthNm / 2);
}
