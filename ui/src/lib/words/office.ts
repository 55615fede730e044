// Words of rules, tension plan, parts, exchange, evidence and handover.
export const office = {
  ordering: {
    title: 'Before ordering',
    computed: 'Figures and margins only. What may be built is for the authority where you build to say.',
    asked: 'asked',
    there: 'there',
    confirm: 'to confirm:',
    posts: 'What the posts feel'
  },
  verdicts: {
    meets: 'figure reached',
    short: 'short',
    askFirst: 'ask first',
    notAllowed: 'not allowed',
    outsideTable: 'outside the table'
  } as Record<string, string>,
  tensions: {
    title: 'Tension plan',
    stands: 'What stands',
    required: 'Required',
    set: 'Set',
    upper: 'Upper',
    clear: 'Clear from',
    why: 'Where the figures are from',
    decide: 'Decide what to tension to',
    passes: 'passes',
    passesAsk: 'Passes, newtons',
    passesHint: 'With spaces between; the last one is the set tension.',
    overUpper: 'Set is above the upper limit. Lower it, or find what limits.',
    lastPass: 'The last pass is the set tension.',
    designer: 'designer'
  },
  holes: { title: 'Hole schedule', height: 'Height', diameter: 'Diameter', depth: 'Depth', note: 'Heights above the floor at the post.' },
  takeoff: { title: 'Take-off', part: 'Part', count: 'Order', basis: 'How it is counted' },
  sample: {
    title: 'Sample crimp',
    how: 'One of each hand, pressed and pulled, per day, operator, press, die and batch.',
    pull: 'Pull held',
    held: 'For how long, seconds',
    moved: 'Mark moved by',
    result: 'Result',
    left1: 'LH size, first axis',
    left2: 'LH size, square to it',
    right1: 'RH size, first axis',
    right2: 'RH size, square to it',
    batch: 'Delivery',
    list: 'Samples',
    told: (s: number, moved: string) => `${s} s, mark moved ${moved}`
  },
  documents: { title: 'Documents', add: 'Add a document', proves: 'What it proves', name: 'Name' },
  signOffs: {
    title: 'Sign-offs',
    add: 'Sign a stage',
    stage: 'Stage',
    statement: 'Your statement',
    sign: 'Sign off',
    strength: 'It names what the record held when you signed. It is as strong as the device it was made on.'
  },
  missing: {
    title: 'What is missing',
    count: (n: number) => (n === 0 ? 'Nothing is missing for the handover.' : n === 1 ? 'One thing is missing.' : `${n} things are missing.`),
    without: 'Go without',
    ask: (what: string) => `Why does the handover go without: ${what}?`,
    reasons: ['Not part of this job', 'Covered before it was seen', 'Held by the certifier', 'Will follow'],
    waived: 'Goes without',
    there: 'There'
  },
  handover: {
    title: 'Handover',
    folder: 'Folder to write to',
    folderHint: 'An empty folder, or a new one. Left empty, it goes beside the record.',
    make: 'Make the handover',
    made: 'It is here:',
    verify: 'Verify it',
    proves: 'What it proves',
    provesText:
      'What is in it is genuine and unbroken: every entry is signed and chained, every picture carries its hash. It can’t show what was never recorded, and a sign-off is as strong as the device it was made on.',
    care: 'Owner: wash with fresh water, more often near salt and where rain does not reach. No chlorine, no steel wool. Don’t hang, climb or lean loads. A slack wire: keep children away and call.'
  }
};
