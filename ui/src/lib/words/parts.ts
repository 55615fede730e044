// Words of a wire's ends, gaps, openings, defects.
import { within } from '$lib/core/within';

export const parts = {
  of: (n: number) => `of ${n}`,
  wire: {
    piece: (n: number) => `piece ${n}`,
    length: 'Inside to inside',
    notMeasured: 'not measured; the cut sheet interpolates it where it can',
    issued: 'Released for cutting',
    window: (a: string, b: string) => `works from ${a} to ${b}`,
    cut: 'Cut',
    reel: (name: string) => `from ${name}`,
    ticks: 'Ticks',
    tension: 'Tension',
    deviation: (v: string) => `one standard deviation ${v}`,
    warmth: 'Why: the temperature',
    wireAt: (c: string) => `wire ${c}`,
    airAt: (c: string) => `air ${c}`,
    proud: (v: string) => `inserts ${v} proud`,
    recessed: (v: string) => `inserts ${v} below the face`
  },
  /** What is next, on the card of the very thing. */
  cards: {
    wire: (n: number, what: string) => `Wire ${n}: ${what}`,
    measure: 'measure',
    release: 'release for cutting',
    cut: 'cut',
    piece: { insertionMarked: 'mark how far the strand goes in', leftEndPressed: 'press the left end', threaded: 'thread it', rightEndPressed: 'press the right end', fitted: 'fit both ends' },
    tension: 'tension',
    bringUp: 'bring it up and read it again',
    letOut: 'let it out and read it again',
    readAgain: 'read it again',
    gaps: 'offer the probe',
    post: (name: string, what: string) => `Post ${name}: ${what}`,
    lacks: { section: 'section', base: 'base fixing', railJoint: 'rail joint', material: 'species or alloy', condition: 'condition', floor: 'floor level', end: 'end' },
    then: (what: string[]) => `then ${what.join(', ')}`,
    table: 'What the wire table reads'
  },
  /** Where a reading is from. */
  readingFrom: {
    gauge: 'Gauge',
    scale: 'Scale showed',
    chart: 'By chart',
    typed: 'Typed',
    bay: 'Bay',
    air: 'Air',
    wire: 'Wire',
    untold: 'not told',
    repeat: 'Repeat',
    rests: 'Rests on'
  },
  ends: {
    title: 'Ends',
    /** A wire may bear the name of a post: beside one the other says what it is. */
    of: (post: string) => `end at post ${post}`,
    at: (post: string) => `End at post ${post}`,
    /** Where no wire is named like a post. */
    short: (post: string) => `${post} end`,
    crimp: 'crimp',
    noCrimp: 'not pressed yet',
    unchecked: 'pressed, crimp not checked yet',
    good: 'Crimp good',
    bothGood: 'Both crimps good',
    reject: 'Reject',
    rejectOf: (wire: string, end: string) => `${wire}, ${end}: reject`,
    rejectDo: (wire: string, end: string) => `Reject the ${end} of ${within(wire)}`,
    more: 'Thread and marks',
    rejectAsk: 'What is wrong with it? Take a picture of every reject.',
    rejectReasons: ['Mark not at the mouth', 'Oval or cracked', 'Wrong die', 'Pressed short of the mark', 'Kinked wire'],
    threadLeft: (v: string) => `${v} of thread left`,
    turnsIn: (t: number, f: number) => `${t} turns ${f} flats in`,
    turnedIn: (all: string, last?: string) => `turned in so far ${all}${last ? `, the last time ${last}` : ''}`,
    markHidden: 'engagement mark hidden',
    threadLeftShowing: 'Thread left showing',
    leftOfBolt: 'Of a bolt: its usable thread less what stands out behind the washer.',
    turns: 'Turned in, turns',
    flats: 'and flats',
    hidden: 'Engagement mark hidden?',
    moved: 'Witness mark moved by'
  },
  remake: {
    title: 'Take out and make again',
    of: (wire: string) => `${wire}: take out and make again`,
    act: (wire: string) => `Take out ${within(wire)}`,
    ask: 'Why? The next piece begins without cut, crimps and readings; the old ones stay in the history.',
    done: (n: number) => `Wire ${n} begins anew`
  },
  gaps: {
    title: 'Gaps',
    how: 'Offer the probe to every opening of the bay. Touch once when all stop it.',
    allStop: 'All stop',
    onePasses: 'Passes through',
    allStopped: (who: string) => `All stop it${who ? ` (${who})` : ''}.`,
    somePassed: (who: string) => `It passes through somewhere${who ? ` (${who})` : ''}.`,
    notYet: 'Not checked yet.',
    again: 'Offered, and to be offered again.',
    where: 'Where does it pass through? Touch every opening.',
    keepPasses: (n: number) => (n === 1 ? 'Keep: passes at 1 opening' : `Keep: passes at ${n} openings`),
    under: 'Under wire 1',
    over: 'Over the top wire',
    between: (a: number, b: number) => `Wire ${a}–${b}`,
    probe: (d: string) => `Probe ${d}`,
    noProbe: 'Say first which probe is offered and its diameter: here under Gaps, or on its card under Tools.',
    giveProbe: 'Which probe?',
    count: (n: number, of: number) => (n === 0 ? `Not one of ${of} ${of === 1 ? 'bay' : 'bays'} stops the probe everywhere yet.` : `In ${n} of ${of} bays all stop.`)
  },
  openings: {
    title: 'Openings',
    add: 'Add an opening',
    size: 'As built, clear',
    probeDid: 'The probe',
    probe: 'Probe diameter',
    push: 'Push on the probe, where measured',
    where: 'Where, in words'
  },
  defects: {
    title: 'Defects',
    add: 'Something to put right',
    found: (what: string) => `What is wrong at ${what}?`,
    open: 'To put right',
    closed: 'Put right',
    close: 'Put right',
    how: 'What was done',
    about: 'At',
    before: 'Before',
    after: 'After',
    picture: { before: 'Picture before', after: 'Picture after' },
    noPicture: 'No picture',
    foundNow: (what: string) => `Noted: ${what}. Take a picture now, as it was found.`,
    afterNow: 'Put right. Take a picture from the same place as before.',
    noPictureNow: 'No picture now'
  }
};
