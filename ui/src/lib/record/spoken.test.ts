import { describe, expect, it } from 'vitest';
import type { Job } from './view';
import { isLong, LEAST_SECONDS, soundOf, spokenName, spokenOf } from './spoken';

const document = (name: string, ...about: string[]) => ({
  subject: `document:${name}`,
  id: name,
  name,
  facts: {},
  view: { caption: name, doubts: [], by: 'Bo', entry: 'e', shows: about.map((subject) => ({ subject, name: subject, evidence: 'other' })), files: [] }
});
const job = (...documents: ReturnType<typeof document>[]) => ({ documents }) as unknown as Job;

describe('spoken notes', () => {
  it('are the files that sound, told by their ending', () => {
    expect(['a.wav', 'b.M4A', 'c.opus', 'd.3gp'].map(soundOf)).toEqual(['audio/wav', 'audio/mp4', 'audio/ogg', 'audio/3gpp']);
    expect(['wav', 'letter.pdf', 'a.wav.pdf', '', 'x.'].map(soundOf)).toEqual([undefined, undefined, undefined, undefined, undefined]);
  });

  it('stand at what they are about alone, the newest first', () => {
    const early = document('Spoken note, wire 3 2026-03-02 09.05.00.wav', 'wire:r:3');
    const late = document('Spoken note, wire 3 2026-03-10 08.00.01.wav', 'wire:r:3');
    const brought = document('voice.m4a', 'wire:r:3');
    const others = [document('sheet.pdf', 'wire:r:3'), document('Spoken note, wire 4 2026-03-11 08.00.00.wav', 'wire:r:4'), document('loose.wav')];
    expect(spokenOf(job(early, ...others, brought, late), 'wire:r:3').map((s) => s.name)).toEqual([late.name, early.name, brought.name]);
    expect(spokenOf(undefined, 'wire:r:3')).toEqual([]);
  });

  it('are named by what they are about and the hour here', () => {
    expect(spokenName('Spoken note, A/1:b\\c', new Date(2026, 2, 2, 7, 5, 9))).toBe('Spoken note, A-1-b-c 2026-03-02 07.05.09.wav');
    expect(spokenName('Spoken note, post A1', new Date(2026, 2, 2, 7, 5, 9))).toBe('Spoken note, post A1 2026-03-02 07.05.09.wav');
  });

  it('of a slip of the finger are none', () => {
    const rate = 16_000;
    const of = (seconds: number) => isLong({ samples: new Float32Array(seconds * rate), rate });
    expect([of(0), of(LEAST_SECONDS - 0.01), of(LEAST_SECONDS)]).toEqual([false, false, true]);
  });
});
