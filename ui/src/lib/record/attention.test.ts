import { describe, expect, it } from 'vitest';
import { countOf, flagsOf } from './attention';
import { jobOf } from './load';
import type { BayGaps, Flag, JobView, Progress, RunTensions, WireStage } from '$lib/generated/api';

interface Told {
  number: number;
  stage?: WireStage;
  flags?: Flag[];
  /** Readings as taken: newtons and bay, oldest first. */
  reads?: [number, string][];
  governs?: number;
}

/** The program's answers, as far as these screens read them. */
function answers(wires: Told[], gaps: BayGaps = 'fails'): [JobView, Progress[], RunTensions[]] {
  const view = {
    job: 'j', subject: 'job:j', title: '', facts: [], photos: [], documents: [], tools: [], batches: [], visits: [], strands: [], fittingSets: [], signOffs: [],
    unsettled: [
      { subject: 'wire:r:12', name: 'Wire A12', fact: { field: 'length', standing: 'disputed', place: '', words: [] } },
      { subject: 'bay:a:b', name: 'bay A1–A2', fact: { field: 'clear', standing: 'disputed', place: '', words: [] } },
      { subject: 'job:j', name: 'the job', fact: { field: 'fall', standing: 'newer', place: '', words: [] } }
    ],
    defects: [{ subject: 'defect:d', found: 'hole 9 high', about: null, closed: null, entry: 'e' }],
    runs: [{
      subject: 'run:r', id: 'r', name: 'A', shape: 'level', tensions: { requiredMn: 1_330_000 }, posts: [],
      bays: [{ subject: 'bay:a:b', name: 'A1–A2', place: 'a:b', measured: false, clearMm: null, gaps: [] }],
      wires: wires.map((w) => ({
        subject: `wire:r:${w.number}`, number: w.number, piece: 1, issuedMm: null, cutMm: null, lastReadMm: null, done: [], crimps: [], length: { kind: 'notMeasured' },
        tensions: (w.reads ?? []).map(([newtons, bay], i) => ({ newtons, bay, entry: `${w.number}-${i}`, who: 'Ben', atMs: i, stage: 'final', pass: null, with: {} }))
      }))
    }]
  };
  const progress = {
    run: 'r', posts: [], gapsStop: gaps === 'allStop',
    wires: wires.map((w) => ({ wire: w.number, stage: w.stage ?? 'none', flag: w.flags?.[0] ?? 'none', flags: w.flags ?? [], interpolated: false, done: [] })),
    bays: [{ subject: 'bay:a:b', name: 'A1–A2', measured: false, gaps, passesAbove: [] }]
  };
  const read = { run: 'r', mustShowN: 1330, lines: wires.map((w) => ({ wire: w.number, readings: [], governing: w.governs === undefined ? null : { newtons: w.governs } })) };
  return [view, [progress], [read]] as unknown as [JobView, Progress[], RunTensions[]];
}

const flags = (wires: Told[], gaps: BayGaps = 'fails') => flagsOf(jobOf(...answers(wires, gaps)));
const wiresTold = (wires: Told[]) => flags(wires, 'none').filter((f) => f.kind === 'bad').map((f) => f.text);

describe('flagsOf', () => {
  it('tells what is below, disputed, passed and open, and nothing else', () => {
    const found = flags([{ number: 6, governs: 1500 }, { number: 7, flags: ['below'], governs: 1240 }, { number: 12, flags: ['disputed'] }]);
    expect(found.map((f) => [f.kind, f.room, f.subject])).toEqual([
      ['warn', '', 'wire:r:12'],
      ['warn', '', 'bay:a:b'],
      ['warn', 'site', ''],
      ['bad', 'tension', ''],
      ['bad', 'gaps', ''],
      ['warn', 'defects', '']
    ]);
    expect(found[3]?.text).toBe('Wire 7 reads 1240\u00a0N. It needs 1330\u00a0N.');
  });
  it('tells the bay that governs, though another was read last', () => {
    expect(wiresTold([{ number: 7, flags: ['below'], reads: [[1240, 'a:b'], [1500, 'b:c']], governs: 1240 }])).toEqual(['Wire 7 reads 1240\u00a0N. It needs 1330\u00a0N.']);
  });
  it('tells the reading over the upper tension, and that to stop', () => {
    const told = jobOf(...answers([{ number: 12, flags: ['over'], governs: 1500 }], 'none'));
    const line = told.runs[0]?.read?.lines[0];
    if (line) line.readings = [{ newtons: 1950, over: true, replaced: false }, { newtons: 1990, over: true, replaced: true }] as never;
    if (told.runs[0]?.read) told.runs[0].read.neverAboveN = 1800;
    expect(flagsOf(told).filter((f) => f.kind === 'bad').map((f) => [f.text, f.room])).toEqual([['Wire 12 shows 1950\u00a0N, over the upper tension of 1800\u00a0N. Stop and let it out.', 'tension']]);
    expect(wiresTold([{ number: 12, flags: ['over'] }])).toEqual(['Wire 12, Run A: over the upper tension, or too near it.']);
  });
  it('tells what a wire may carry where only the gauge’s error puts it over', () => {
    const told = jobOf(...answers([{ number: 12, flags: ['over'], governs: 1740 }], 'none'));
    const line = told.runs[0]?.read?.lines[0];
    if (line) line.readings = [{ newtons: 1740, over: true, replaced: false, mayCarryN: 1810 }] as never;
    if (told.runs[0]?.read) told.runs[0].read.neverAboveN = 1800;
    expect(flagsOf(told).filter((f) => f.kind === 'bad').map((f) => f.text)).toEqual(['Wire 12 shows 1740\u00a0N, and may carry 1810\u00a0N for what the gauge errs, over the upper tension of 1800\u00a0N. Stop and let it out.']);
  });
  it('asks for the bay in which a wire that was let out was over', () => {
    const told = jobOf(...answers([{ number: 12, flags: ['over'], governs: 1950 }], 'none'));
    const line = told.runs[0]?.read?.lines[0];
    if (line) Object.assign(line, { readThere: true, readings: [{ newtons: 1950, over: true, replaced: false, bayName: 'A2–A3' }] });
    if (told.runs[0]?.read) told.runs[0].read.neverAboveN = 1800;
    expect(flagsOf(told).filter((f) => f.kind === 'bad').map((f) => f.text)).toEqual(['Wire 12 showed 1950\u00a0N in A2–A3, over the upper tension of 1800\u00a0N or too near it, and was let out since. Read it there again before anything is turned.']);
  });
  it('leaves a pass on the way up alone: the program flags none', () => {
    expect(wiresTold([{ number: 7, stage: 'fitted', reads: [[600, 'a:b']], governs: 600 }])).toEqual([]);
  });
  it('says that a wire is below without a figure where there is none', () => {
    expect(wiresTold([{ number: 7, flags: ['below'] }])).toEqual(['Wire 7, Run A: below the required tension.']);
  });
  it('tells each thing that stands out of one wire', () => {
    expect(wiresTold([{ number: 7, flags: ['rejected', 'below'], governs: 1240 }])).toEqual(['Wire 7, Run A: crimp rejected.', 'Wire 7 reads 1240\u00a0N. It needs 1330\u00a0N.']);
    // A dispute is told by the list of what is unsettled; it hides nothing else.
    expect(wiresTold([{ number: 7, flags: ['disputed', 'below'], governs: 1240 }])).toEqual(['Wire 7 reads 1240\u00a0N. It needs 1330\u00a0N.']);
  });
  it('tells thread that holds too little on the wire’s card, and readings that turning overtook once for the run', () => {
    expect(flags([{ number: 3, flags: ['thread', 'readAgain'] }, { number: 4, flags: ['readAgain'] }], 'none').filter((f) => f.run === 'r')).toEqual([
      { kind: 'bad', text: 'Wire 3, Run A: too little thread at an end.', run: 'r', room: '', subject: 'wire:r:3' },
      { kind: 'warn', text: 'Run A: other wires were turned after wires 3–4 were read. Read them again.', run: 'r', room: 'tension', subject: '' }
    ]);
  });
  it('tells a rejected crimp on the wire’s card', () => {
    expect(flags([{ number: 3, flags: ['rejected'] }], 'none').filter((f) => f.kind === 'bad')).toEqual([
      { kind: 'bad', text: 'Wire 3, Run A: crimp rejected.', run: 'r', room: '', subject: 'wire:r:3' }
    ]);
  });
});

it('countOf counts what the program counts: wires held at their tension, bays that stop the probe', () => {
  const told: Told[] = [{ number: 1, stage: 'tensioned' }, { number: 2, stage: 'checked' }, { number: 3, stage: 'fitted', reads: [[600, 'a:b']] }];
  const [stopped] = jobOf(...answers(told, 'allStop')).runs;
  const [failing] = jobOf(...answers(told, 'fails')).runs;
  expect(stopped && countOf(stopped, 'tension')).toEqual({ done: 2, of: 3 });
  expect(stopped && countOf(stopped, 'gaps')).toEqual({ done: 1, of: 1 });
  expect(failing && countOf(failing, 'gaps')).toEqual({ done: 0, of: 1 });
  expect(stopped && countOf(stopped, 'holes')).toBeUndefined();
});
