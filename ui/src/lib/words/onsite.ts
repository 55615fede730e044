// Words of checks and reports on site: before the second end, how the edge was left, ends, probe, take-out, call-backs, laser.
import { spans } from '$lib/core/spans';
import { within } from '$lib/core/within';

export const onsite = {
  spoken: {
    speak: 'Speak a note',
    title: 'Spoken notes',
    called: (name: string) => `Spoken note, ${name}`,
    now: 'Speak now',
    level: 'How loud it is',
    left: (said: string, left: string) => `${said}, ${left} left`,
    stop: 'Stop and keep it',
    away: 'Throw it away',
    kept: 'Spoken note kept',
    notKept: 'The note is not kept yet.',
    again: 'Keep it',
    play: 'Play',
    playing: (name: string) => `Plays: ${name}`,
    short: 'Too short to say anything: nothing was kept. Touch, speak, then touch again.',
    cannot: 'This device can’t play it. It can be saved under Documents.',
    notAllowed: 'The microphone was not allowed. Allow it for this page, or type the note.',
    none: 'No microphone is heard. Type the note.'
  },
  wet: {
    lock: 'Lock the glass against water',
    locked: 'The glass is locked',
    how: 'Touches and keys do nothing. What was typed stands as it was.',
    open: 'Hold for one second to unlock',
    letGo: 'Let go: it opens'
  },
  ticks: {
    /** The wires that are ready, of so many that are left. */
    all: (act: string, wires: number[], left: number) => {
      const which = wires.length < left ? 'ready' : 'left';
      return `${act}: ${wires.length === 1 ? `the one that is ${which}, wire` : `all ${wires.length} that are ${which}, wires`} ${spans(wires)}`;
    },
    released: (unit: string) => `Below the number: the released length, ${unit}.`,
    /** In place of a released length that the cut sheet tells otherwise now. */
    lookFirst: 'look first',
    moved: (wires: number[]) =>
      wires.length === 1 ? `Wire ${wires[0]}: something moved since it was released. Look at its release on the cut sheet before it is cut.` : `Wires ${spans(wires)}: something moved since they were released. Look at their releases on the cut sheet before they are cut.`,
    sheet: 'Cut sheet',
    markFirst: (wires: number[]) => `Not marked how far the strand goes in: ${wires.length === 1 ? 'wire' : 'wires'} ${spans(wires)}. Mark before pressing; it can’t be seen afterwards.`,
    mark: 'Mark first',
    several: 'Several: from … to …',
    on: (wire: number) => `${wire} to …`,
    how: 'Touch the first wire, then the last; or type them.',
    typed: 'Wires',
    typedHint: 'Like 1–12, or 3, 7–9.',
    unread: 'These are no wires of the run. Type them like 1–12.',
    keep: (act: string, wires: number[]) => (wires.length === 0 ? `${act}: no wire yet` : `${act}: ${wires.length === 1 ? 'wire' : 'wires'} ${spans(wires)}`),
    already: (wires: number[]) => `Ticked already: ${spans(wires)}.`,
    notReady: (wires: number[]) => `Left out, not ready: ${spans(wires)}.`,
    stop: 'Cancel'
  },
  crimpsWith: {
    title: 'Pressed with',
    batch: 'Terminals from',
    asSample: 'as the day’s sample',
    hint: 'Set once, kept for today on this device. Left empty: as the day’s sample says.'
  },
  second: {
    title: 'Before the second ends, wires',
    of: (n: number, all: number) => `Looked at ${n} of ${all}. Kept when all ${all === 5 ? 'five ' : ''}are.`,
    nobody: 'No threaded wire waits for a look.',
    kept: 'Looked at before the second ends',
    sleevesOn: 'Sleeves on',
    throughAllPosts: 'Wire through all posts',
    nutsOn: 'Lock nuts on',
    handTried: 'Hand tried',
    studPasses: 'Stud passes the hole'
  },
  nut: {
    tight: 'Lock nut tight?',
    tightTold: 'lock nut tight',
    looseTold: 'lock nut loose',
    out: 'Wire end out of the swage by',
    outTold: (v: string) => `wire end ${v} out`
  },
  takenOut: { terminalRejected: 'Terminal rejected', kinked: 'Kinked', cutWrong: 'Cut too short', galled: 'Galled thread', wrongHand: 'Wrong hand', other: 'Other' },
  probeSet: { which: 'Which probe', push: 'Push, where it was measured', pushHint: 'Empty: by hand.', badPush: 'The push is no number of newtons above 0. Type it, or leave it empty.' },
  moment: { beforeTension: 'Before tensioning', afterTension: 'After tensioning' },
  openingMoment: 'Read when, as at a gate',
  laserReference: { front: 'Front edge', back: 'Back edge' },
  laser: { counts: 'Laser: counts from its', check: 'Known length read', tool: 'With', known: 'Known length', read: 'Read as' },
  delivery: { lay: 'Lay', thread: 'Thread of the fittings', promised: 'Promised for', short: 'Pieces short', wrong: 'Pieces wrong' },
  driver: 'Driver for the inserts',
  hands: { right: (label: string) => `RH: ${within(label)}`, rightHint: 'Type only what differs at RH; the rest is as at LH. An end of another kind has figures of its own.', rightLacks: (label: string) => `The right end is of another kind: type its ${within(label)}. Nothing was saved.` },
  sampleFailed: 'The last sample failed: crimps since the last good one are in doubt. Pull a new one, then look at them again.',
  halves: { measured: 'Were both measured with a tape?', hint: (v: string) => `${v} where the post stands in the middle.` },
  leftSafe: {
    noVisit: 'Nobody told of a visit today. Begin one, then say how the edge is left.',
    differ: 'People differ on how the edge was left today, or a newer version told it: see the visit below.',
    how: ['Boards across the opening', 'Fence panels', 'Door to the deck locked', 'All wires are up'],
    told: ['The owner', 'The builder', 'The tenant', 'Nobody was there']
  },
  callBacks: {
    title: 'Call-backs',
    add: 'A call-back',
    complaint: 'What the owner says',
    cause: 'What it came from',
    found: 'What was found',
    done: 'What was done',
    open: 'open',
    causes: { slip: 'Slip', stretch: 'Stretch', postMoved: 'Post moved', railLoose: 'Rail loose', rust: 'Rust', knock: 'Knock', other: 'Other' }
  },
  deflectionRow: (clear: string, spacing: string, next: string) => `deflection reads row ${clear}, ${spacing} apart${next ? `; ${next}` : ''}`,
  deflectionNext: (left: string, at: string, then: string) => `${left} in hand before row ${at}${then ? `: at most ${then}` : ''}`
};
