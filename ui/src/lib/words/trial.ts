// Words of the trial wire: what it showed, and what the other cuts become.
export const trial = {
  learn: {
    title: 'What the trial wire teaches',
    read: (wire: number) => `Read wire ${wire} at its tension`,
    readHow: 'Bring it to its set tension, then read the thread left at both ends.',
    threadAt: (post: string) => `Thread left, ${post} end`,
    keep: 'Keep the reading',
    out: 'It does not fit at all',
    way: 'The wire is',
    ways: { tooLong: 'Too long', tooShort: 'Too short' } as Record<'tooLong' | 'tooShort', string>,
    by: 'by, both ends together',
    outHow: 'Hand tight. Too long: thread used up at both ends and so much wire still slack. Too short: the studs end so far before the posts.',
    kept: (wire: number) => `Wire ${wire} is read`,
    bars: 'Windows of the cuts that are left',
    computed: 'computed',
    learned: 'learned',
    aim: 'aim',
    bar: (name: string, which: string, aim: string, from: string, to: string, spread: string) => `${name}, ${which}: cut ${aim}, works from ${from} to ${to}, spread ${spread}`,
    key: 'The bar is what works. The mark is the aim, the thick part one spread to either side.',
    column: 'Learned',
    issueLearned: (n: number) => (n === 1 ? 'Issue 1 wire as learned' : `Issue ${n} wires as learned`),
    issueComputed: (n: number) => (n === 1 ? 'Issue 1 wire as computed' : `Issue ${n} wires as computed`),
    why: 'Why',
    takesUp: 'Takes up',
    expected: (mm: string) => `${mm} expected`,
    offset: 'Deduction before length',
    perMetre: 'and for each metre',
    beforeAfter: (before: string, after: string) => `${before} computed, ${after} learned`,
    doubt: 'Cut by what was learned'
  }
};
