import { describe, expect, it } from 'vitest';
import { askAt, askedAbout, askOf, atOneTouch, factOf, mayBeAlike, needed, whyAsked } from './asking';
import { placeOf } from './next';
import type { NextAct } from '$lib/generated/api';
import { words } from '$lib/words';
import type { Job, Run, Thing } from './view';

const bare = (subject: string): Thing => ({ subject, id: subject.split(':')[1] ?? '', name: '', facts: {}, repeats: {} });
const run = { ...bare('run:r'), id: 'r', name: 'A', posts: [bare('post:p'), bare('post:q')], bays: [], wires: [] } as unknown as Run;
const job = { ...bare('job:j'), runs: [run], strands: [], fittingSets: [] } as unknown as Job;
const act = (key: string, of: string | null): NextAct => ({ what: 'tellFact', key, run: of, subject: key.split('/')[1] ?? '', sentence: '', figure: null, wires: [], left: 3 });

const pool = { key: 'tellFact/job:j/pool', subject: 'job:j', field: 'pool', place: '' };
const gap = { key: 'tellFact/post:p/opening/endPostToWall', subject: 'post:p', field: 'opening', place: 'endPostToWall' };
const on = (subject: string, field: string, place = '') => ({ key: '', subject, field, place });

describe('a question of the survey', () => {
  it('is read from its act’s key, and from no other act’s', () => {
    expect(askOf(pool.key)).toEqual(pool);
    expect(askOf(gap.key)).toEqual(gap);
    expect(['', 'tellFact', 'tellFact/job:j', 'settle/job:j/pool', `${'9'.repeat(10_000)}/😀`].map(askOf)).toEqual([undefined, undefined, undefined, undefined, undefined]);
  });
  it('stands on the screen of what it is about', () => {
    expect(askAt('j', act(pool.key, null))).toBe('#/job/j/site?ask=tellFact%2Fjob%3Aj%2Fpool');
    expect(placeOf(job, act(gap.key, 'r'))).toBe('#/job/j/run/r?ask=tellFact%2Fpost%3Ap%2Fopening%2FendPostToWall');
  });
  it('is about a thing that is there', () => {
    expect(askedAbout(job, pool)).toEqual({ thing: job });
    expect(askedAbout(job, gap)?.run).toBe(run);
    expect(askedAbout(job, on('run:r', 'rail'))?.thing).toBe(run);
    expect(askedAbout(job, on('post:gone', 'base'))).toBeUndefined();
    expect(factOf(job, on('post:p', 'noSuchField'))).toBeUndefined();
  });
  it('asks one number or one choice, and of a group what it can’t do without', () => {
    const asks = (subject: string, field: string) => {
      const fact = factOf(job, on(subject, field));
      return fact && needed(fact).map((input) => input.name);
    };
    expect(asks('job:j', 'fall')).toEqual(['fall']);
    expect(asks('post:p', 'support')).toEqual(['kind']);
    expect(asks('post:p', 'material')).toEqual(['name']);
    expect(asks('post:p', 'base')).toEqual(['kind', 'seen']);
    expect(asks('post:p', 'section')).toEqual(['alongNm', 'acrossNm']);
    expect(asks('post:p', 'end')).toEqual(['kind', 'hand', 'tensioner']);
    expect(asks('run:r', 'rail')).toEqual(['undersideNm', 'thicknessNm']);
    expect(asks('run:r', 'slope')).toEqual(['riseNm', 'goingNm']);
    const [wall, base] = [factOf(job, gap), factOf(job, on('post:p', 'base'))];
    expect([wall, base].map((fact) => fact && atOneTouch(needed(fact)))).toEqual([true, false]);
    expect(wall?.compose({ opening: 62_000_000 })).toEqual({ nm: 62_000_000 });
  });
  it('takes over from a post like it what takes more than a touch', () => {
    expect(['section', 'base', 'material', 'condition', 'end'].map((field) => mayBeAlike(on('post:p', field)))).toEqual([true, true, true, false, false]);
  });
  it('says why it is asked, whatever it asks', () => {
    expect(whyAsked(gap)).toMatch(/wall/);
    for (const [field, why] of Object.entries(words.asking.why)) {
      expect(why, field).toMatch(/\.$/);
      const subject = ['job:j', 'run:r', 'post:p'].find((one) => factOf(job, on(one, field)) !== undefined);
      expect(subject ?? (field in words.openingKind), field).toBeTruthy();
    }
  });
});
