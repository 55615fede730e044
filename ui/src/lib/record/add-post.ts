// A post added between two others: its name and the claims that place it. Pure.
import type { NewClaim } from './backend';
import { baySubject } from './new-run';
import { nmOf, valueOf, type Bay, type Run } from './view';

/** `A4` → `A4a`, or the next free letter. */
export function nextLetter(left: string, taken: string[]): string {
  const stem = left.replace(/[a-z]$/, '');
  for (const letter of 'abcdefghijklmnopqrstuvwxyz') {
    if (!taken.includes(stem + letter)) return stem + letter;
  }
  return `${stem}z2`;
}

export interface AddedPost {
  id: string;
  name: string;
  widthNm: number;
  leftNm: number;
  rightNm: number;
}

/** One act: the post, its place behind the left post, and both new bays as read with a tape. */
export function addedPostClaims(run: Run, bay: Bay, post: AddedPost): NewClaim[] {
  const [a, b] = bay.posts;
  const left = run.posts.find((p) => p.id === a);
  const leftAt = nmOf(left, 'position', run.id) ?? 0;
  const leftWidth = valueOf<{ alongNm: number }>(left, 'section')?.alongNm ?? 0;
  const at = leftAt + Math.round(leftWidth / 2) + post.leftNm + Math.round(post.widthNm / 2);
  const subject = `post:${post.id}`;
  const context = { along: 'level', instrument: 'tape' };
  return [
    { subject, field: 'name', value: post.name },
    { subject, field: 'section', value: { alongNm: post.widthNm, acrossNm: post.widthNm } },
    { subject, field: 'position', place: run.id, value: { nm: at } },
    { subject, field: 'role', place: run.id, value: 'intermediate' },
    { subject: baySubject(a, post.id), field: 'clear', value: { nm: post.leftNm }, context },
    { subject: baySubject(post.id, b), field: 'clear', value: { nm: post.rightNm }, context }
  ];
}
