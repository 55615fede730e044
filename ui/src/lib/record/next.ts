// The next useful act, as the program sees it, where it is done, and what this device skipped.
import { jobAt, runAt } from '$lib/core/at';
import { call } from '$lib/core/call';
import { keepHere, readJsonHere } from '$lib/core/kept-here';
import type { NextAct } from '$lib/generated/api';
import { words } from '$lib/words';
import { ALL_ASKED, askAt } from './asking';
import { roundKey } from './round';
import type { Job } from './view';
import { cardAt } from './where';

const key = (job: string) => `skipped-${job}`;

/** Acts skipped on this device; kept here alone, never in the record. */
export function skipped(job: string): string[] {
  const list = readJsonHere(key(job));
  return Array.isArray(list) ? list.filter((k): k is string => typeof k === 'string') : [];
}

export function skip(job: string, act: string): void {
  keepHere(key(job), JSON.stringify([...new Set([...skipped(job), act])]));
}

/** Nothing more is asked of the survey, what it comes to ask later neither. */
export function skipAllAsked(job: string): void {
  skip(job, ALL_ASKED);
}

export function skipNothing(job: string): void {
  keepHere(key(job), undefined);
}

/** Nothing when there is none left. */
export async function loadNext(job: string): Promise<NextAct | undefined> {
  const { act } = await call('nextAct', { job, skipped: skipped(job) });
  return act ?? undefined;
}

/** Rooms of a run in which an act is done; others are done in a room of the job. */
const IN_RUN: Record<string, string> = {
  issueCuts: 'cuts',
  readTrial: 'cuts',
  cutWire: 'work?act=cut',
  markInsertion: 'work?act=insertionMarked',
  pressFirstEnd: 'work?act=leftEndPressed',
  thread: 'work?act=threaded',
  pressSecondEnd: 'work?act=rightEndPressed',
  fit: 'work?act=fitted',
  checkGaps: 'gaps'
};
const IN_JOB: Record<string, string> = {
  chooseRuleSet: 'site',
  addRun: 'new-run',
  beforeOrdering: 'ordering',
  sampleCrimp: 'sample',
  closeDefect: 'defects',
  evidence: 'missing',
  handOver: 'handover'
};
const STAGES: Record<string, string> = { tensionPass: 'pass', tensionFinal: 'final', recheck: 'recheck' };

/** Whether this device goes over a run in one pass: then no act names a figure of an even pass. */
export function inOneHere(act: NextAct): boolean {
  if (act.what !== 'tensionPass' || !act.run) return false;
  const round = readJsonHere(roundKey(act.run));
  return round !== null && typeof round === 'object' && 'inOne' in round && round.inOne === true;
}

/** What the button says: the program's sentence with its figure, but for one pass, whose screen tells the wire and its figure. */
export function saidOf(job: Job, act: NextAct): { text: string; detail: string } {
  if (inOneHere(act)) return { text: words.turning.goOnInOne(job.runs.find((run) => run.id === act.run)?.name ?? ''), detail: '' };
  return { text: act.sentence, detail: [act.figure, act.left > 1 ? words.next.left(act.left) : ''].filter(Boolean).join(' · ') };
}

/** The address of the room where an act is done, opened at its wire or card. */
export function placeOf(job: Job, act: NextAct): string {
  const [kind, , number] = act.subject.split(':');
  const wire = kind === 'wire' && !inOneHere(act) ? number : undefined;
  const { run } = act;
  if (act.what === 'beforeOrdering' && run) return jobAt(job.id, `ordering?run=${run}`);
  if (act.what in IN_JOB) return jobAt(job.id, IN_JOB[act.what]);
  if (act.what === 'tellFact') return askAt(job.id, act);
  // A dispute is settled on the card of the very thing, whatever that is.
  if (act.what === 'settle' || !run) return cardAt(job, act.subject);
  if (act.what === 'measureWire') return runAt(job.id, run, wire ? `measure?wire=${wire}` : 'measure');
  const stage = act.stage ?? STAGES[act.what];
  const at = [wire && `wire=${wire}`, act.bay && `bay=${act.bay.slice('bay:'.length)}`];
  const asked = (...first: string[]) => [...first, ...at.filter(Boolean)].join('&');
  if (stage) return runAt(job.id, run, `tension?${asked(`stage=${stage}`)}`);
  // In the stage and pass of the round that is being read.
  if (act.what === 'letOut') return runAt(job.id, run, `tension?${asked()}`);
  // Number and heights of the wires are proposed in the layout room; it leads on to their fields.
  if (act.what === 'finishLayout' && act.field === 'wireCount') return runAt(job.id, run, 'layout');
  // A strand or a set is chosen for a run from those of the job: where there is none it is taken into the job first.
  const none = (act.field === 'strand' && job.strands.length === 0) || (act.field === 'fittingSet' && job.fittingSets.length === 0);
  if (act.what === 'finishLayout' && none) return jobAt(job.id, 'materials');
  // The run's own page opens at what is to be told there.
  if (act.what === 'finishLayout') return runAt(job.id, run, `?tell=${act.field ?? 'posts'}`);
  const room = IN_RUN[act.what];
  return room === undefined ? cardAt(job, act.subject) : runAt(job.id, run, room);
}
