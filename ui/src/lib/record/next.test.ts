import { expect, it } from 'vitest';
import { keepHere } from '$lib/core/kept-here';
import { placeOf, saidOf } from './next';
import type { NextAct, NextWhat } from '$lib/generated/api';
import type { Job, Run, Thing } from './view';

const act = (what: NextWhat, subject: string, run: string | null = 'r'): NextAct => ({ what, key: '', run, subject, sentence: '', figure: null, wires: [], left: 1 });

const bare = (subject: string): Thing => ({ subject, id: '', name: '', facts: {}, repeats: {} });
const run = { ...bare('run:r'), id: 'r', name: 'A', posts: [bare('post:p')], bays: [bare('bay:p:q')], wires: [bare('wire:r:12')] } as unknown as Run;
const job = { ...bare('job:j'), id: 'j', runs: [run], strands: [bare('strand:s')], fittingSets: [] } as unknown as Job;

it.each([
  [act('measureWire', 'wire:r:6'), '#/job/j/run/r/measure?wire=6'],
  [act('markInsertion', 'run:r'), '#/job/j/run/r/work?act=insertionMarked'],
  [act('pressFirstEnd', 'run:r'), '#/job/j/run/r/work?act=leftEndPressed'],
  [act('recheck', 'wire:r:7'), '#/job/j/run/r/tension?stage=recheck&wire=7'],
  [act('letOut', 'wire:r:12'), '#/job/j/run/r/tension?wire=12'],
  [{ ...act('letOut', 'wire:r:12'), bay: 'bay:p:q' }, '#/job/j/run/r/tension?wire=12&bay=p:q'],
  [{ ...act('tensionFinal', 'wire:r:12'), bay: 'bay:p:q' }, '#/job/j/run/r/tension?stage=final&wire=12&bay=p:q'],
  [act('tensionPass', 'run:r'), '#/job/j/run/r/tension?stage=pass'],
  [act('settle', 'wire:r:12', null), '#/job/j/run/r?at=wire%3Ar%3A12'],
  [act('settle', 'post:p', null), '#/job/j/run/r?at=post%3Ap'],
  [act('settle', 'bay:p:q', null), '#/job/j/run/r?at=bay%3Ap%3Aq'],
  [act('settle', 'tool:t', null), '#/job/j/tools?at=tool%3At'],
  [act('settle', 'job:j', null), '#/job/j/site'],
  [act('finishLayout', 'run:r'), '#/job/j/run/r?tell=posts'],
  [{ ...act('finishLayout', 'run:r'), field: 'strand' }, '#/job/j/run/r?tell=strand'],
  [{ ...act('finishLayout', 'run:r'), field: 'wireCount' }, '#/job/j/run/r/layout'],
  [{ ...act('finishLayout', 'run:r'), field: 'wireHeights' }, '#/job/j/run/r?tell=wireHeights'],
  [{ ...act('finishLayout', 'run:r'), field: 'fittingSet' }, '#/job/j/materials'],
  [act('evidence', 'job:j', null), '#/job/j/missing'],
  [act('addRun', 'job:j', null), '#/job/j/new-run']
])('%j', (a, place) => expect(placeOf(job, a)).toBe(place));

it('in one pass the act names no figure of an even pass, and the screen finds the wire', () => {
  const pass = { ...act('tensionPass', 'wire:r:3'), sentence: 'Pass 1, wire A3: tension to', figure: '450 N', left: 4 };
  keepHere('round-r', JSON.stringify({ inOne: false }));
  expect(saidOf(job, pass)).toEqual({ text: 'Pass 1, wire A3: tension to', detail: '450 N · 4 left' });
  expect(placeOf(job, pass)).toBe('#/job/j/run/r/tension?stage=pass&wire=3');
  keepHere('round-r', JSON.stringify({ inOne: true }));
  expect(saidOf(job, pass)).toEqual({ text: 'Run A: go on in one pass', detail: '' });
  expect(placeOf(job, pass)).toBe('#/job/j/run/r/tension?stage=pass');
  expect(saidOf(job, { ...pass, what: 'tensionFinal' }).detail).toBe('450 N · 4 left');
  keepHere('round-r', undefined);
});
