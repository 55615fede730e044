// The question of the survey that stands on screen, and how it goes on: kept or skipped, the next one comes by itself.
import { goto } from '$app/navigation';
import { page } from '$app/state';
import { sameEntry } from '$lib/core/cards';
import type { NextAct } from '$lib/generated/api';
import { askedAbout, askOf, factOf, type Ask } from './asking';
import { loadThing } from './backend';
import type { Fact } from './fact';
import { now } from './job.svelte';
import { loadNext, placeOf, skip, skipAllAsked } from './next';
import type { Run, Thing } from './view';

export interface Question {
  ask: Ask;
  fact: Fact;
  /** With all that is said of it. */
  thing: Thing;
  run?: Run;
  /** How many questions there still are, this one with them. */
  left: number;
}

/** What is asked now, and the screen on which it is. */
export const asking: { question: Question | undefined } = $state({ question: undefined });
let screen = '';
const bare = (address: string) => address.split('?')[0];

export function leave(): void {
  asking.question = undefined;
}

/** A screen that the question does not belong to is left with nothing asked. */
export function cameElsewhere(hash: string): void {
  if (bare(hash) !== screen) leave();
}

/** Asks what the address says; the address says so no more, so that the way back leads past it. */
export async function begin(hash: string, key: string): Promise<void> {
  screen = bare(hash) ?? '';
  const job = now.job?.id;
  if (!job) return;
  void sameEntry(() => goto(screen, { replaceState: true, noScroll: true, keepFocus: true }));
  const next = await loadNext(job).catch(() => undefined);
  await ask(key, next?.key === key ? next.left : 0, screen);
}

/** What is asked next, here or on the screen where it belongs; nothing where the survey asks no more. */
export async function goOn(): Promise<void> {
  const [{ job }, before] = [now, asking.question];
  if (!job || !before) return;
  const next = await loadNext(job.id).catch(() => undefined);
  // Who left meanwhile is not called back.
  if (asking.question !== before) return;
  if (next?.what !== 'tellFact') return leave();
  const place = placeOf(job, next);
  if (bare(place) === bare(page.url.hash)) return ask(next.key, next.left, bare(place) ?? '');
  leave();
  await goto(place);
}

export async function skipThis(): Promise<void> {
  if (!now.job || !asking.question) return;
  skip(now.job.id, asking.question.ask.key);
  // The button at the thumb passes it over as well.
  now.version += 1;
  await goOn();
}

export async function skipAll(): Promise<void> {
  if (now.job) skipAllAsked(now.job.id);
  now.version += 1;
  leave();
}

/** Asks on the screen `on`, where the person still is. */
async function ask(key: NextAct['key'], left: number, on: string): Promise<void> {
  const { job } = now;
  const one = askOf(key);
  const about = job && one && askedAbout(job, one);
  const fact = job && one && factOf(job, one);
  if (!about || !fact) return leave();
  const thing = about.run ? await loadThing(job.id, about.thing) : about.thing;
  // Who left meanwhile is not asked elsewhere.
  if (now.job?.id !== job.id || bare(page.url.hash) !== on) return;
  asking.question = { ask: one, fact, thing, run: about.run, left };
}
