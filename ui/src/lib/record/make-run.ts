// Puts a planned run, or a post added to one, into the record step by step; what was kept stays when a step is refused.
import { measureBay } from './acts';
import { addThing, loadJob, say, type Recorded } from './backend';
import { postPlans, postSection, runFields, type Build, type RunPlan, type TypedLength } from './new-run';
import { nmOf, valueOf, type Bay, type Run } from './view';
import { NM_PER_MM } from '$lib/core/length';

const idOf = (subject: string | undefined) => (subject ?? '').split(':')[1] ?? '';
const typed = (nm: number): TypedLength => ({ text: String(nm / NM_PER_MM), unit: 'mm' });

/** What the program reads in any case; what was typed otherwise is told in millimetres, so that no run is half kept. */
const READ = /^(\d+([.,]\d+)?|(\d+ )?\d+\/\d+)$/;

/** A bay's reading as it was typed. */
export function bayTyped(plan: RunPlan, i: number): TypedLength {
  const said = plan.baysTyped[i];
  return said && READ.test(said.text) ? said : typed(plan.baysNm[i] ?? 0);
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
}

/** A post in a bay: it stands behind its left neighbour, and the bay becomes two. */
export async function addPost(job: string, run: Run, bay: Bay, post: AddedPost, confirmed: boolean): Promise<Recorded> {
  const [a] = bay.posts;
  const made = await addThing(job, 'post', [
    { field: 'name', value: post.name },
    { field: 'section', value: postSection(post.widthNm, post.depthNm, post.build, post.wallNm) },
    { field: 'position', place: run.id, value: { nm: middleOf(run, a, post) } },
    { field: 'role', place: run.id, value: 'intermediate' }
  ], confirmed);
  const id = idOf(made.created);
  const entries = [...made.entries];
  if (!post.measured) return { entries, created: made.created };
  for (const next of await baysOf(job, run.id)) {
    const clear = next.posts[1] === id ? post.leftNm : next.posts[0] === id ? post.rightNm : undefined;
    if (clear !== undefined) entries.push(...(await measureBay(job, next.subject, typed(clear), { along: 'level', instrument: 'tape' }, [], true)).entries);
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
