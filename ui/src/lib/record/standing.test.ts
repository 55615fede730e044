import { describe, expect, it } from 'vitest';
import type { JobCard, Overview } from '$lib/generated/api';
import { goesOn, inOrderBy, isLike, isOf, lackSign, lackWords, peopleOf, wholeWords } from './standing';

const job: JobCard = { job: 'j', title: 'Deck', place: '', kept: true, people: [], disputed: 0, openDefects: 0 };
const none = { missing: 0, without: 0, next: '', toDo: false };

describe('lackWords', () => {
  it('names all that is lacking', () => {
    expect(lackWords({ ...job, disputed: 1, openDefects: 2 }, { ...none, missing: 3 })).toEqual(['1 disputed', '2 open defects', '3 missing']);
  });
  it('is empty when nothing is', () => expect(lackWords(job, none)).toEqual([]));
  it('says that a job is not kept here', () => expect(lackWords({ ...job, kept: false }, undefined)).toEqual(['not on this device']));
});

describe('the list of jobs', () => {
  const jobs = [{ ...job, job: 'a', title: 'Deck 10', place: 'Bay Road' }, { ...job, job: 'b', title: 'Deck 2', place: 'Alder Lane', openDefects: 1 }, { ...job, job: 'c', title: 'Stair', place: 'Alder Lane' }];
  const ids = (sort: string) => inOrderBy(sort, { c: { ...none, missing: 4 } }, jobs).map((j) => j.job).join('');
  it('is found by any words of title and address', () => {
    expect(jobs.filter((j) => isLike(j, ' lane DECK ')).map((j) => j.job)).toEqual(['b']);
    expect(jobs.filter((j) => isLike(j, '')).length).toBe(3);
  });
  it('is one person’s, or everybody’s', () => {
    const [a, b, c] = jobs.map((one, i) => ({ ...one, people: [['Ann', 'Ben'], ['Ben'], []][i] ?? [] }));
    const all = [a, b, c].filter((one) => one !== undefined);
    expect(peopleOf(all)).toEqual(['Ann', 'Ben']);
    const of = (person: string) => all.filter((one) => isOf(one, person)).map((one) => one.job).join('');
    expect(['', 'Ann', 'Ben', 'Cora'].map(of)).toEqual(['abc', 'a', 'ab', '']);
  });
  it('stands as it came, or as was chosen', () => expect(['', 'title', 'place', 'lacking'].map(ids)).toEqual(['abc', 'bac', 'bca', 'cba']));
});

describe('lackSign', () => {
  it('shows a dispute before anything else', () => expect(lackSign({ ...job, disputed: 1 }, { ...none, missing: 3 })).toBe('≠'));
  it('tells lacking from complete', () => {
    expect(lackSign(job, { ...none, missing: 3 })).toBe('○');
    expect(lackSign({ ...job, openDefects: 1 }, none)).toBe('○');
    expect(lackSign(job, { ...none, toDo: true })).toBe('○');
    expect(lackSign(job, none)).toBe('✓');
  });
  it('says what a complete job goes without', () => {
    expect(wholeWords(none)).toBe('no evidence missing');
    expect(wholeWords({ ...none, without: 19 })).toBe('no evidence missing, goes without 19');
  });
  it('claims nothing before it is known', () => expect(lackSign(job, undefined)).toBe(''));
});

describe('a start that goes on where the device was left', () => {
  const seen = { device: 'd', person: 'Ben', crews: [], jobs: [job], keepsAll: true } as unknown as Overview;
  it('needs the job here', () => {
    expect(goesOn(seen, 'j', undefined)).toBe(true);
    expect(goesOn(seen, 'k', undefined)).toBe(false);
    expect(goesOn({ ...seen, jobs: [{ ...job, kept: false }] }, 'j', undefined)).toBe(false);
    expect(goesOn({ ...seen, jobs: [{ ...job, trouble: 'Its book can’t be read.' }] } as Overview, 'j', undefined)).toBe(false);
  });
  it('waits once for what a newer version recorded', () => {
    const newer = { ...seen, newer: '3 entries' } as Overview;
    expect(['3 entries', '2 entries', undefined].map((told) => goesOn(newer, 'j', told))).toEqual([true, false, false]);
    expect(goesOn(seen, 'j', '3 entries')).toBe(true);
  });
  it('waits for what is to be told, and for who writes here', () => {
    for (const told of [{ trouble: 'x' }, { brokenOff: 'x' }, { person: undefined }, { crews: [{ trouble: 'x' }] }]) {
      expect(goesOn({ ...seen, ...told } as Overview, 'j', undefined)).toBe(false);
    }
  });
});
