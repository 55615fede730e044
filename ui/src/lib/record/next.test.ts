import { expect, it } from 'vitest';
import { placeOf } from './next';
import type { NextAct, NextWhat } from '$lib/generated/api';

const act = (what: NextWhat, subject: string, run: string | null = 'r'): NextAct => ({ what, key: '', run, subject, sentence: '', figure: null, wires: [], left: 1 });

it.each([
  [act('measureWire', 'wire:r:6'), '#/job/j/run/r/measure?wire=6'],
  [act('pressFirstEnd', 'run:r'), '#/job/j/run/r/work?act=leftEndPressed'],
  [act('recheck', 'wire:r:7'), '#/job/j/run/r/tension?stage=recheck&wire=7'],
  [act('tensionPass', 'run:r'), '#/job/j/run/r/tension?stage=pass'],
  [act('settle', 'wire:r:12', null), '#/job/j/run/r?at=wire%3Ar%3A12'],
  [act('finishLayout', 'run:r'), '#/job/j/run/r'],
  [act('evidence', 'job:j', null), '#/job/j/missing'],
  [act('addRun', 'job:j', null), '#/job/j/new-run']
])('%j', (a, place) => expect(placeOf('j', a)).toBe(place));
