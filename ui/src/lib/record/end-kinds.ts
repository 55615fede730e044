// What each kind of end has: a thread or none, and which figures of its terminal. Pure.
import type { EndKind } from '$lib/generated/api';
import type { Post, Run } from './view';

const THREADED: readonly EndKind[] = ['insert', 'turnbuckle', 'throughBolt'];
const STUCK: readonly EndKind[] = ['fixedEnd', 'wallPlate', 'eye'];

/** Kinds of ends whose terminals have a figure, as the record has it; every kind has those that are not named here. */
const OF_KINDS: Record<string, readonly EndKind[]> = {
  overallNm: THREADED,
  mouthNm: STUCK,
  threadNm: THREADED,
  leastEngagementNm: THREADED,
  startNm: THREADED,
  reserveNm: THREADED,
  lockNutNm: THREADED,
  threadDiameterNm: THREADED,
  pitchNm: THREADED,
  holeNm: ['insert', 'throughBolt'],
  holeDepthNm: ['insert'],
  clearDepthNm: ['insert'],
  washerNm: ['throughBolt']
};

/** Whether an end of a kind has a thread; one that nobody told may be a stud into an insert. */
export const hasThread = (kind: string | undefined): boolean => !kind || THREADED.includes(kind as EndKind);

/** Whether terminals of a kind have a figure. */
export const figureIsOf = (kind: string | undefined, name: string): boolean => OF_KINDS[name]?.includes((kind || 'insert') as EndKind) ?? true;

/** The kind of a run's end at a post, as it is counted: told, else as the fitting set has it. */
export const endKindAt = (post: Post, run: Run): EndKind | undefined => run.endKinds?.[post.id === run.posts[0]?.id ? 0 : 1];

/** The ends of a run that have a thread. */
export const threadedEnds = (run: Run): Post[] => [run.posts[0], run.posts.at(-1)].filter((p): p is Post => p !== undefined && hasThread(endKindAt(p, run)));
