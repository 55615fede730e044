import { describe, expect, it } from 'vitest';
import { supportFact } from './facts-run';
import { fromTo, gap, measuredText } from './gate';

describe('the gaps of a gate', () => {
  it('stand up to the most, and from–to where the posts may close it', () => {
    expect(fromTo([920, 925.78], 920)).toBe('up to 925.8\u00a0mm');
    expect(fromTo([908.5, 922], 920)).toBe('908.5\u00a0mm to 922\u00a0mm');
    expect([fromTo(null, 920), gap(15.04)]).toEqual(['', '15\u00a0mm']);
  });

  it('are told with where and when they were measured', () => {
    expect(measuredText({ post: 'A1', clearMm: 22, moment: 'afterTension', remark: 'latch, top', result: 'stops' })).toBe('Post A1, latch, top, After tensioning, Stops');
    expect(measuredText({ post: 'A1', clearMm: 22, moment: null, remark: null, result: null })).toBe('Post A1');
  });

  it('name the post across by its name', () => {
    const fact = supportFact([['id-1', 'G1']], true);
    expect(fact.tell({ kind: 'gatePost', gateAcross: 'id-1', gateClearNm: 920_000_000 })).toContain('G1');
    expect(fact.compose({ kind: 'gatePost', gateAcross: 'id-1' })).toEqual({ kind: 'gatePost', gateAcross: 'id-1' });
  });
});
