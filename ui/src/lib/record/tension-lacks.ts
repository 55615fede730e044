// What is still to be told before a tension can be suggested: all of it at once, each with where it is told. Pure.
import { jobAt, runAt } from '$lib/core/at';
import type { TensionPlan } from '$lib/generated/api';
import { words } from '$lib/words';
import { repeatsOf, valueOf, type Job, type Thing } from './view';
import { cardAt } from './where';

export interface Lack {
  what: string;
  /** What goes by it. */
  why: string;
  href: string;
}

const w = words.tensions.lacks;

/** Run and end posts with all that is said of them; `rules`: whether a rule set is chosen. */
export function tensionLacks(job: Job, run: Thing, ends: Thing[], plan: Pick<TensionPlan, 'required' | 'openBays' | 'gauge' | 'laterLossN'>, rules: boolean): Lack[] {
  return [...ofRules(job, plan, rules), ...ofStrand(job, run), ...ofFittings(job, run), ...ofGauge(job, plan), ...(plan.laterLossN === null ? ofPosts(job, ends) : [])];
}

const tellAt = (address: string, field: string) => `${address}&tell=${field}`;
const chosen = (things: Thing[], run: Thing, field: string) => things.find((t) => t.id === valueOf<string>(run, field));

function ofRules(job: Job, plan: Pick<TensionPlan, 'required' | 'openBays'>, rules: boolean): Lack[] {
  if (!rules) return [{ what: w.rules, why: w.forRequired, href: jobAt(job.id, 'rules') }];
  return plan.required === null && plan.openBays.length === 0 ? [{ what: w.required, why: w.requiredHow, href: jobAt(job.id, 'ordering') }] : [];
}

/** The run's own form, or the job's list while it has none to choose from. */
const choice = (job: Job, run: Thing, things: Thing[], field: string) => (things.length === 0 ? jobAt(job.id, 'materials') : runAt(job.id, run.id, `?tell=${field}`));

function ofStrand(job: Job, run: Thing): Lack[] {
  const strand = chosen(job.strands, run, 'strand');
  if (!strand) return [{ what: w.strand, why: w.forLimit, href: choice(job, run, job.strands, 'strand') }];
  const figures = valueOf<{ breakingMn?: number; eaMn?: number }>(strand, 'figures');
  const href = tellAt(cardAt(job, strand.subject), 'figures');
  return [
    ...(figures?.breakingMn === undefined ? [{ what: w.breaking(strand.name), why: w.forLimit, href }] : []),
    ...(figures?.eaMn === undefined ? [{ what: w.stiffness(strand.name), why: w.forLoss, href }] : [])
  ];
}

function ofFittings(job: Job, run: Thing): Lack[] {
  const set = chosen(job.fittingSets, run, 'fittingSet');
  if (!set) return [{ what: w.fittingSet, why: w.forLimit, href: choice(job, run, job.fittingSets, 'fittingSet') }];
  return valueOf(set, 'efficiency') === undefined ? [{ what: w.efficiency(set.name), why: w.forLimit, href: tellAt(cardAt(job, set.subject), 'efficiency') }] : [];
}

function ofGauge(job: Job, { gauge }: Pick<TensionPlan, 'gauge'>): Lack[] {
  if (!gauge) return [{ what: w.gauge, why: w.forRoom, href: jobAt(job.id, 'tools') }];
  const tool = job.tools.find((t) => t.id === gauge.tool);
  return gauge.error === null && tool ? [{ what: w.gaugeError(tool.name), why: w.forRoom, href: tellAt(cardAt(job, tool.subject), 'errorPer10000') }] : [];
}

/** How far an end post gives: by its section and modulus, or by a known pull. */
function ofPosts(job: Job, ends: Thing[]): Lack[] {
  return ends.flatMap((post) => {
    const lack = (field: string, what: string): Lack => ({ what, why: w.forLoss, href: tellAt(cardAt(job, post.subject), field) });
    const shape = valueOf<{ wallNm?: number | null; solid?: boolean | null }>(post, 'section');
    const hollow = shape?.solid === false && typeof shape.wallNm !== 'number';
    // What base and bending give together shows where the rail does not hold.
    const pulled = repeatsOf(post, 'pull').some((p) => p.standing === 'agreed' && (p.value as { railOn?: boolean } | undefined)?.railOn === false);
    const section = shape === undefined ? [lack('section', w.section(post.name))] : hollow && !pulled ? [lack('section', w.wall(post.name))] : [];
    const modulus = valueOf<{ modulusMpa?: number }>(post, 'material')?.modulusMpa;
    return [...section, ...(modulus === undefined && !pulled ? [lack('material', w.modulus(post.name))] : [])];
  });
}
