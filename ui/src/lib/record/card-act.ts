// What is next for the very thing whose card is open, and where it is done. Pure.
import { runAt } from '$lib/core/at';
import { words } from '$lib/words';
import { canMark, ticked, type Act } from './ticks';
import { turnedSince } from './round';
import { known, type Post, type Run, type Wire } from './view';
import { isHeld, issuedOf } from './wires';

export interface CardAct {
  text: string;
  detail?: string;
  /** The screen where it is done. */
  href?: string;
  /** Or the fact of the card whose form opens. */
  field?: string;
}

/** Acts on a cut piece in the order of the job: how far the strand goes in is marked before an end is pressed; fitted comes last. */
const PIECE: Act[] = ['insertionMarked', 'leftEndPressed', 'threaded', 'rightEndPressed', 'fitted'];

/** What is next for a wire; nothing where its end was rejected, which is asked first on its card, or where nothing is left. */
export function wireAct(job: string, run: Run, wire: Wire): CardAct | undefined {
  const w = words.cards;
  const say = (what: string) => w.wire(wire.number, what);
  const to = (room: string) => runAt(job, run.id, room);
  const tension = `tension?wire=${wire.number}`;
  const has = (flag: string) => wire.flags.some((f) => f === flag);
  if (has('rejected')) return undefined;
  if ((has('over') || has('below')) && turnedSince(run, wire.number)) return { text: say(w.readThere), detail: has('over') ? words.states.over : words.states.turnedSince, href: to(tension) };
  if (has('over')) return { text: say(w.letOut), detail: words.states.over, href: to(tension) };
  if (has('below') || has('sags')) return { text: say(w.bringUp), detail: words.states.below, href: to(tension) };
  if (has('readAgain')) return { text: say(w.readAgain), detail: words.states.readAgain, href: to(tension) };
  if (isHeld(wire)) return wire.stage === 'checked' ? undefined : { text: say(w.gaps), href: to('gaps') };
  if (wire.releaseMoved !== undefined) return { text: say(w.lookFirst), detail: wire.releaseMoved, href: to('cuts') };
  if (wire.stage === 'none') return { text: say(w.measure), href: to(`measure?wire=${wire.number}`) };
  // One between measured wires needs no length of its own.
  if (wire.stage === 'measured') return issuedOf(wire) ? { text: say(w.cut), href: to('work?act=cut') } : { text: say(w.release), href: to('cuts') };
  if (wire.stage === 'fitted') return { text: say(w.tension), href: to(tension) };
  // Of one that was read the ends are ticked: nobody threads it any more, nor marks what both presses hide.
  const isRead = wire.stage === 'read';
  const past: Partial<Record<Act, boolean>> = { insertionMarked: isRead || !canMark(run, wire), threaded: isRead };
  const act = PIECE.find((a) => !past[a] && !ticked(wire, a));
  return act ? { text: say(w.piece[act as keyof typeof w.piece]), href: to(`work?act=${act}`) } : { text: say(w.tension), href: to(tension) };
}

/** What the evidence asks of a post, in the order in which it can be seen; the last may be hidden soon. */
const OF_POST = ['section', 'base', 'railJoint', 'material', 'condition', 'floor'] as const;

/** What a post still lacks: the first fact that nobody said, one at a time. Of its pictures the card tells itself. */
export function postAct(run: Run, post: Post): CardAct | undefined {
  const said = (field: string, place = '') => {
    const k = known(post, field, place);
    return k !== undefined && k.standing !== 'withdrawn';
  };
  const lacks: string[] = OF_POST.filter((field) => !said(field));
  if (post.role === 'anchor' && !said('end', run.id)) lacks.push('end');
  const [first, ...more] = lacks;
  if (first === undefined) return undefined;
  const name = (field: string) => words.cards.lacks[field as keyof typeof words.cards.lacks];
  return { text: words.cards.post(post.name, name(first)), detail: more.length > 0 ? words.cards.then(more.map(name)) : '', field: first };
}
