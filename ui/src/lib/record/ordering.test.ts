import { expect, it } from 'vitest';
import { byWeight, justOver, sourceOf, unfit, worstFirst } from './ordering';
import type { BayRow, Finding, RowOutcome, SourceStatus, Verdict } from '$lib/generated/api';

const bay = (name: string, outcome: RowOutcome, leastTensionN: number | null, doubt: string | null = null) => ({ name, outcome, leastTensionN, doubt }) as BayRow;
const finding = (verdict: Verdict) => ({ verdict }) as Finding;

it('puts bays first that no row allows, then doubts, then what asks most', () => {
  const bays = [bay('a', 'figure', 1025), bay('b', 'figure', 1330), bay('c', 'outside', null), bay('d', 'figure', 700, 'hole 81'), bay('e', 'notAllowed', null)];
  expect(worstFirst(bays).map((b) => b.name)).toEqual(['e', 'c', 'd', 'b', 'a']);
});
it('parts what must be acted on from the rest', () => {
  const { open, calm } = byWeight((['notAsked', 'askFirst', 'meetsFigure', 'short', 'asked'] as Verdict[]).map(finding));
  expect(open.map((f) => f.verdict)).toEqual(['short', 'askFirst']);
  expect(calm.map((f) => f.verdict)).toEqual(['asked', 'meetsFigure', 'notAsked']);
});
it('names what does not fit, the worst first, and nothing that is only asked', () => {
  const all = (['short', 'askFirst', 'outsideTable', 'notAllowed', 'asked', 'short'] as Verdict[]).map(finding);
  expect(unfit(all).map((f) => f.verdict)).toEqual(['notAllowed', 'short', 'short']);
});
it('tells the clause of a document, and of common practice no document', () => {
  const told = (status: SourceStatus) => sourceOf({ document: 'Code', edition: '2022', clause: '11.3.5', status }, { read: 'read in the document', commonPractice: 'common practice' });
  expect(told('read')).toBe('Code, 11.3.5 (read in the document)');
  expect(told('commonPractice')).toBe('common practice');
});
it('a bay just over a row costs something, and stands with what must be acted on', () => {
  const row = (name: string, distanceMm: number, differenceN: number | null) => ({ name, subject: `bay:${name}`, shorter: { atMm: 1500, distanceMm, outcome: 'figure', newtons: 1330, differenceN } }) as BayRow;
  const of = (name: string) => ({ topic: 'wireTable', subject: `bay:${name}`, verdict: 'asked' }) as Finding;
  const bays = [row('near', 10, -395), row('far', 180, -305), row('free', 10, 0), row('unknown', 10, null)];
  expect(bays.map((b) => justOver(b) !== undefined)).toEqual([true, false, false, false]);
  const { open, calm } = byWeight(bays.map((b) => of(b.name)), bays);
  expect(open.map((f) => f.subject)).toEqual(['bay:near']);
  expect(calm).toHaveLength(3);
});
