import { describe, expect, it } from 'vitest';
import type { JobCard } from '$lib/generated/api';
import { lackSign, lackWords } from './standing';

const job: JobCard = { job: 'j', title: 'Deck', place: '', kept: true, disputed: 0, openDefects: 0 };

describe('lackWords', () => {
  it('names all that is lacking', () => {
    expect(lackWords({ ...job, disputed: 1, openDefects: 2 }, { missing: 3, next: '' })).toEqual(['1 disputed', '2 open defects', '3 missing']);
  });
  it('is empty when nothing is', () => expect(lackWords(job, { missing: 0, next: '' })).toEqual([]));
  it('says that a job is not kept here', () => expect(lackWords({ ...job, kept: false }, undefined)).toEqual(['not on this device']));
});

describe('lackSign', () => {
  it('shows a dispute before anything else', () => expect(lackSign({ ...job, disputed: 1 }, { missing: 3, next: '' })).toBe('≠'));
  it('tells lacking from complete', () => {
    expect(lackSign(job, { missing: 3, next: '' })).toBe('○');
    expect(lackSign({ ...job, openDefects: 1 }, { missing: 0, next: '' })).toBe('○');
    expect(lackSign(job, { missing: 0, next: '' })).toBe('✓');
  });
  it('claims nothing before it is known', () => expect(lackSign(job, undefined)).toBe(''));
});
