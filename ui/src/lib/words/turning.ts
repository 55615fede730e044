// Words of tensioning: turns and flats, passes, what a run loses later.
const some = (n: number, one: string) => (n === 0 ? '' : `${n} ${one}${n === 1 ? '' : 's'}`);
const count = (turns: number, flats: number) => (turns + flats === 0 ? 'no turn' : [some(turns, 'turn'), some(flats, 'flat')].filter(Boolean).join(' '));

export const turning = {
  turning: {
    count,
    turn: (back: boolean, turns: number, flats: number) => (turns + flats === 0 ? count(0, 0) : `${count(turns, flats)} ${back ? 'out' : 'in'}`),
    so: 'Turned so',
    otherwise: 'Turned otherwise',
    more: 'Turned more',
    turned: (count: string) => `turned ${count} at both ends`,
    turnedApart: (first: string, a: string, last: string, b: string) => `turned ${a} at ${first}, ${b} at ${last}`,
    apart: (first: string, a: string, last: string, b: string) => `${a} at ${first}, ${b} at ${last}`,
    lessAt: (post: string) => `One flat less at ${post}`,
    moreAt: (post: string) => `One flat more at ${post}`,
    fromBefore: 'Flats from before, not logged yet.',
    turnsAt: (post: string) => `Turns at ${post}`,
    flatsAt: (post: string) => `Flats at ${post}`,
    readNow: 'Read it now.',
    asked: (turn: string, to: string) => `asked for: ${turn}, to ${to}`,
    to: (n: string) => `to ${n}`,
    both: 'at both ends alike',
    at: (post: string) => `at ${post} alone`,
    there: 'It is there already. Read it.',
    over: 'It is over the upper tension.',
    out: 'Stop. Let it out, stand aside, and read it again at once.',
    now: (n: string) => `now about ${n}`,
    slack: 'slack',
    from: { read: 'as read', computed: 'computed from what was read since', slack: 'not read yet: taken as slack' } as Record<'read' | 'computed' | 'slack', string>,
    plan: 'The passes',
    pass: (n: number, to: string) => `Pass ${n}: all to ${to}`,
    ends: (low: string, high: string) => `then ${low} to ${high}`,
    one: 'In one pass',
    even: 'Left to turn',
    evenHow: 'In this order; then all stand at the set tension.',
    shows: (n: string) => `then shows ${n}`,
    thread: 'Thread at the ends',
    threadOf: (starts: string, needs: string, left: string) => `both ends together: ${starts} in by hand, ${needs} to turn in, ${left} left showing`,
    readFirst: 'Read it first: it was read before other wires were turned, and may need no turn.',
    noTurns: 'Turns can’t be told',
    byGauge: (at: string | undefined) =>
      `Bring every wire to the pass’s tension by gauge, ${at ? `turned at ${at} alone` : 'from both ends by equal turns'}, in this order; in the last pass read every wire again.`,
    order: (wires: number[]) => `wires ${wires.join(', ')}`
  },
  corners: {
    title: 'Behind the corners',
    bend: (post: string) => `Turns at ${post} by`,
    untold: 'angle not told',
    friction: (from: string, to: string, origin: string) => `friction ${from} to ${to} (${origin})`
  },
  recheck: {
    title: 'Later loss',
    band: (from: string, to: string) => `expected ${from} to ${to}`,
    outside: 'To bring back to the set tension',
    within: 'Every wire that was read again stands.',
    together: (turn: string) => `${turn} where all of these give way together`,
    loss: 'Lost by the first recheck, up to',
    setTo: (n: string) => `set to ${n}`,
    leastSet: 'So set at least',
    most: (n: string) => `the upper tension lets the gauge show at most ${n}`,
    lossInAll: 'Lost over the years, up to',
    leastSetInAll: 'Set at least, were it never looked at again',
    when: 'Come back',
    between: (from: string, to: string) => `${from} to ${to}`,
    left: (n: string, read: boolean) => (read ? `left at ${n}` : `set to ${n}`),
    found: (n: string) => `had come down to ${n}`,
    fell: (wire: string, n: string, band: string) => `Wire ${wire} had come down to ${n}, ${band}: it lost more than expected. Look at its ends.`,
    broughtBack: 'as expected, brought up again',
    madeOf: 'What is expected to be lost',
    states: { notRead: 'not read again', otherBay: 'read in another bay than before', within: 'as expected', below: 'lost more than expected', above: 'shows more than it can' } as Record<'notRead' | 'otherBay' | 'within' | 'below' | 'above', string>
  }
};
