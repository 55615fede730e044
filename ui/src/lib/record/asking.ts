// What the survey asks, one fact at a time: the thing and the field that an act is about, where it is asked, and its form. Pure.
import { jobAt, runAt } from '$lib/core/at';
import type { Field } from '$lib/core/form';
import type { NextAct } from '$lib/generated/api';
import { wordFor } from '$lib/words/site';
import { words } from '$lib/words';
import { one, ownInputs, type Fact } from './fact';
import { jobFacts } from './facts-job';
import { endFact, factsOfPost, runFacts } from './facts-run';
import type { Job, Run, Thing } from './view';

/** In the list of what is skipped: all that the survey asks. */
export const ALL_ASKED = 'tellFact';

export interface Ask {
  /** The act's key, under which it is skipped. */
  key: string;
  subject: string;
  field: string;
  /** The run of an end, the kind of an opening; empty of all others. */
  place: string;
}

/** What an act's key asks for; nothing where it is another act's. */
export function askOf(key: string): Ask | undefined {
  const [what, subject, field, place = ''] = key.split('/');
  return what === ALL_ASKED && subject && field ? { key, subject, field, place } : undefined;
}

/** The screen with what is asked about, and the question on it. */
export function askAt(job: string, { key, run }: Pick<NextAct, 'key' | 'run'>): string {
  const ask = `?ask=${encodeURIComponent(key)}`;
  return run ? runAt(job, run, ask) : jobAt(job, `site${ask}`);
}

/** The run that the thing stands in, where it is no thing of the whole job, and the thing itself. */
export function askedAbout(job: Job, { subject }: Ask): { thing: Thing; run?: Run } | undefined {
  if (subject === job.subject) return { thing: job };
  for (const run of job.runs) {
    const thing = [run, ...run.posts].find((t) => t.subject === subject);
    if (thing) return { thing, run };
  }
  return undefined;
}

/** The fact that is asked for, as its card has it; an opening by its kind. */
export function factOf(job: Job, { subject, field, place }: Ask): Fact | undefined {
  if (field === 'opening') return one('opening', wordFor(words.openingKind, place), 'length');
  const [kind] = subject.split(':');
  const facts = kind === 'job' ? jobFacts : kind === 'run' ? runFacts : [...factsOfPost(job.runs.flatMap((r) => r.posts).map((p): [string, string] => [p.id, p.name]), false), endFact];
  return facts.find((fact) => fact.field === field);
}

/** What can't be left out of it: one number or one choice where that is all. The rest stands on its card. */
export function needed(fact: Fact): Field[] {
  const own = ownInputs(fact);
  const need = own.filter((input) => input.need);
  return need.length > 0 ? need : own;
}

/** Whether a touch on what is offered says all that is asked. */
export const atOneTouch = (fields: Field[]): boolean => fields.length === 1;

/** Whether one like it may be taken over: what one touch says is as quick told anew. */
export const mayBeAlike = ({ field }: Ask): boolean => ['section', 'base', 'material'].includes(field);

/** Why it is asked: what goes by it. */
export const whyAsked = ({ field, place }: Ask): string => wordFor(words.asking.why, field === 'opening' ? place : field);
