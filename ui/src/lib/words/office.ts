// Words of rules, tension plan, parts, exchange, evidence and handover.
export const office = {
  ordering: {
    title: 'Before ordering',
    computed: 'Figures and margins only. What may be built is for the authority where you build to say.',
    asked: 'asked',
    there: 'there',
    confirm: 'to confirm:',
    posts: 'What the posts feel',
    margin: 'margin',
    noRules: 'No rule set is chosen. Choose one under Site.',
    bays: 'Bays in the wire table',
    findings: 'What the rules ask',
    held: { free: 'Free', withRail: 'With the rail' },
    tip: (v: string) => `tip moves ${v}`,
    fixing: (v: string) => `pull on the fixing ${v}`,
    more: (v: string) => `+${v}`,
    nextRow: (left: string, what: string, at: string, then: string) => `${left} in hand before ${what} ${at}: ${then}`,
    longer: 'row',
    wider: 'spacing',
    readsRow: (clear: string, spacing: string) => `reads row ${clear}${spacing ? `, ${spacing} apart` : ''}`,
    orDeflection: (d: string, kg: number) => `or at most ${d} under ${kg} kg`
  },
  topics: {
    barrierNeeded: 'Barrier',
    height: 'Height',
    opening: 'Opening',
    faceGap: 'Gap to the floor’s face',
    climbing: 'Climbing',
    wireTable: 'Wire table',
    pool: 'Pool',
    loads: 'Loads'
  } as Record<string, string>,
  statuses: { read: 'read in the document', secondHand: 'second hand', memory: 'from memory', commonPractice: 'common practice' } as Record<string, string>,
  origins: {
    measured: 'measured',
    interpolated: 'interpolated',
    computed: 'computed',
    assumed: 'assumed',
    table: 'from a table',
    maker: 'from the maker',
    designer: 'from the designer',
    commonPractice: 'common practice',
    recorded: 'recorded'
  },
  verdicts: {
    meetsFigure: 'figure reached',
    asked: 'asked for',
    notAsked: 'not asked',
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
    designer: 'designer',
    suggested: 'In the middle of the room',
    room: (to: string) => `the gauge may show up to ${to}`,
    notKnown: 'Nobody has stated:'
  },
  holes: { title: 'Hole schedule', height: 'Height', diameter: 'Diameter', depth: 'Depth', through: 'through', drilled: 'As drilled, to the wire below', note: 'Heights above the floor at the post.' },
  takeoff: {
    title: 'Take-off',
    part: 'Part',
    count: 'Order',
    basis: 'How it is counted',
    metres: (m: string) => `${m} m`,
    strandHow: (n: number, m: string, from: string) => `${n} wires, ${m} m ${from}, and what is allowed for samples and remakes`,
    cutsFrom: { cutSheet: 'from the cut sheet', quoteLength: 'from quote lengths', bays: 'from the bays' } as Record<string, string>,
    holes: (insert: number, through: number) => `${insert} insert holes, ${through} holes through posts.`,
    allowances: (n: number, sample: number, scrap: number, over: number) =>
      [`${n} in place`, sample ? `${sample} sample` : '', scrap ? `${scrap} scrap` : '', over ? `${over} over` : ''].filter(Boolean).join(' + '),
    allowancesTitle: 'What is added'
  },
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
