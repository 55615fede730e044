// The record's commands as the screens use them: the only place that knows their requests.
import type { Shapes } from '$lib/core/drawing';
import { call } from '$lib/core/call';
import type { Overview, Recorded, Role, Thing as ThingKind } from '$lib/generated/api';
import { factsOf, jobOf, tipOf } from './load';
import type { Job, Thing, Tip } from './view';

export interface NewClaim {
  subject: string;
  field: string;
  place?: string;
  value: unknown;
  context?: Record<string, unknown>;
  /** For a reading that may repeat: the words it corrects. */
  over?: string[];
  /** For a single value: the words that stood when the person looked. */
  seen?: string[];
}

export type { Recorded };

export async function loadJob(job: string): Promise<Job> {
  const view = await call('readJob', { job });
  // The drawing marks wires by the same answer: list, card and drawing never differ.
  const progress = await Promise.all(view.runs.map((r) => call('progress', { job, run: r.id })));
  // Where nothing is decided or read there is nothing to hold against anything.
  const read = view.runs.filter((r) => r.tensions !== null || r.wires.some((w) => w.tensions.length > 0));
  const tensions = await Promise.all(read.map((r) => call('tensions', { job, run: r.id })));
  return jobOf(view, progress, tensions);
}

/** How a value came about, as it is sent: nothing where nothing was said. */
const withOf = (context: NewClaim['context']) => (context && Object.keys(context).length > 0 ? { with: context } : {});

/** Says values of plain fields, all in one act; `confirmed` says yes to figures that were asked about. */
export async function say(job: string, claims: NewClaim[], confirmed = false): Promise<Recorded> {
  const list = claims.map(({ context, ...claim }) => ({ ...claim, ...withOf(context) }));
  return call('say', { job, claims: list, confirmed });
}

/** Adds a thing with its first fields; `confirmed` as for `say`. */
export async function addThing(job: string, thing: ThingKind, claims: Omit<NewClaim, 'subject'>[], confirmed = false): Promise<Recorded> {
  const fields = claims.map(({ field, place, value, context }) => ({ field, value, ...(place ? { place } : {}), ...withOf(context) }));
  return call('addThing', { job, thing, fields, confirmed });
}

/** Takes all of them back in one act, or none. */
export async function withdrawEntries(job: string, [entry, ...more]: string[], reason: string): Promise<void> {
  if (entry !== undefined) await call('withdraw', { job, entry, more, reason });
}

export async function settle(job: string, key: { subject: string; field: string; place: string }, choose: string, reason: string): Promise<Recorded> {
  return call('settle', { job, ...key, choose, reason });
}

/** A thing with every fact that is said of it. */
export async function loadThing(job: string, thing: Pick<Thing, 'subject' | 'id' | 'name'>): Promise<Thing> {
  const view = await call('readSubject', { job, subject: thing.subject });
  return { subject: thing.subject, id: thing.id, name: thing.name, ...factsOf(thing.subject, view.facts) };
}

/** One word on a key, and whether it stands. */
export interface Past extends Tip {
  field: string;
  stands: string;
}

/** Every word on these fields, the last one first; on all places, or on one and what lies within it. */
export async function loadHistory(job: string, subject: string, fields: string[], place?: string): Promise<Past[]> {
  const view = await call('readSubject', { job, subject, history: true });
  return view.facts
    .filter((f) => fields.includes(f.field) && (place === undefined || f.place === place || f.place.startsWith(`${place}/`)))
    .flatMap((f) =>
      f.words.map((w): Past => {
        const disputed = f.standing === 'disputed' ? 'disputed' : 'current';
        return { ...tipOf(w), field: f.field, stands: !w.stands ? 'replaced' : w.value === null ? 'withdrawn' : f.many && disputed === 'current' ? 'repeat' : disputed };
      })
    )
    .sort((a, b) => b.at.ms - a.at.ms);
}

export async function loadOverview(): Promise<Overview> {
  return call('overview', {});
}

export async function foundCrew(crew: string, person: string, role: Role): Promise<Overview> {
  return call('foundCrew', { crew, person, role });
}

export async function beginJob(title: string, place: string): Promise<string> {
  const made = await call('beginJob', { title, place });
  return (made.created ?? '').replace('job:', '');
}

export async function loadDrawing(job: string, run: string): Promise<Shapes> {
  return call('drawRun', { job, run });
}

/** Withdraws the creation of a thing; all that was said of it stays. */
export function removeThing(job: string, subject: string, reason: string): Promise<Recorded> {
  return call('removeThing', { job, subject, reason });
}
