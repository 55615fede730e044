// Words of the trade for what the record names: kinds, roles, states, evidence.
export const site = {
  surface: { deck: 'Deck', balcony: 'Balcony', landing: 'Landing', stair: 'Stair', ramp: 'Ramp' },
  shape: { level: 'Level', raked: 'Raked' },
  postRole: { anchor: 'Anchor', intermediate: 'Intermediate', corner: 'Corner' },
  supportKind: {
    post: 'Post',
    spreader: 'Spreader',
    wallEnd: 'Wall end',
    glassEdge: 'Glass edge',
    gatePost: 'Gate post'
  },
  endKind: {
    insert: 'Stud into insert',
    turnbuckle: 'Turnbuckle',
    fixedEnd: 'Fixed end',
    throughBolt: 'Through-bolt',
    wallPlate: 'Wall plate',
    eye: 'Eye'
  },
  faceSide: { left: 'Left', right: 'Right' },
  hand: { LH: 'LH, left-hand', RH: 'RH, right-hand' },
  purpose: { quote: 'Quote', cut: 'Cut' },
  postState: { loose: 'Loose', fixed: 'Fixed', railOn: 'Rail on', insertsIn: 'Rail on, inserts in' },
  faces: { postFaces: 'Post faces', insertFaces: 'Insert faces' },
  instrument: { tape: 'Tape', laser: 'Laser', template: 'Template', drawing: 'Drawing', other: 'Other' },
  along: { level: 'Level', slope: 'Along the slope' },
  stage: { pass: 'Pass', final: 'Final', recheck: 'Recheck' },
  method: { gauge: 'Gauge', hungMass: 'Hung mass', sound: 'Sound', hungPhone: 'Hung phone' },
  crimpResult: { good: 'Good', reject: 'Reject' },
  probeResult: { stops: 'Stops', passes: 'Passes through' },
  sun: { sun: 'Sun', shade: 'Shade' },
  act: {
    cut: 'Cut',
    insertionMarked: 'Insertion marked',
    leftEndPressed: 'Left end pressed',
    threaded: 'Threaded',
    rightEndPressed: 'Right end pressed',
    fitted: 'Fitted',
    witnessMarked: 'Witness marks made',
    marksMade: 'Marks made'
  },
  toolKind: {
    tensionGauge: 'Tension gauge',
    press: 'Press',
    die: 'Die',
    swageGauge: 'Swage gauge',
    probe: 'Probe',
    mass: 'Mass',
    tape: 'Tape',
    laser: 'Laser',
    thermometer: 'Thermometer',
    other: 'Other'
  },
  batchKind: {
    strand: 'Strand',
    terminal: 'Terminals',
    insert: 'Inserts',
    lockNut: 'Lock nuts',
    seat: 'Angled seats',
    grommet: 'Grommets',
    other: 'Other'
  },
  railJoint: { overThePost: 'Over the post', butted: 'Butted against it' },
  lining: { bare: 'Bare hole', grommetHalves: 'Grommet halves', sleeve: 'Sleeve' },
  condition: { sound: 'Sound', soft: 'Soft', split: 'Split' },
  signStage: {
    survey: 'Survey',
    beforeOrdering: 'Before ordering',
    cutting: 'Cutting',
    tension: 'Tension',
    gaps: 'Gaps',
    recheck: 'Recheck',
    handover: 'Handover'
  },
  openingKind: {
    floorToBottomWire: 'Floor to bottom wire',
    topWireToRail: 'Top wire to rail',
    endPostToWall: 'End post to wall',
    postToDeckEdge: 'Post to deck edge',
    stairTriangle: 'Stair triangle',
    gateLeaf: 'Gate leaf',
    other: 'Other'
  },
  evidence: {
    postFixing: 'Post fixing',
    railJoint: 'Rail joint',
    engineersLetter: 'Engineer’s letter',
    postAdded: 'Post added',
    materials: 'Materials and arrival',
    tools: 'Tools',
    sampleCrimp: 'Sample crimp',
    crimps: 'Crimps',
    templateCheck: 'Template check',
    engagement: 'Engagement, mark hidden',
    gaugeOnWire: 'Gauge on wire',
    massCheck: '2 kg check with ruler',
    opening: 'Opening with the probe',
    height: 'Height with the tape',
    handrail: 'Handrail',
    wideView: 'Wide view',
    endPost: 'End post, close',
    below: 'What is below',
    defectBefore: 'Defect, before',
    defectAfter: 'Defect, after',
    recheck: 'Recheck',
    leftSafe: 'Left safe',
    permit: 'Permit',
    clientChoice: 'Client’s signed choice',
    other: 'Other'
  },
  construction: { '1x19': '1×19', '7x7': '7×7', '7x19': '7×19' },
  caution: {
    cut: 'Hold both sides. Glasses on. Wire shears, no disc.',
    insertion: 'Mark on the strand how far it goes in. Once pressed nobody can see it.',
    endTwo: 'Sleeves on? Lock nut on? A terminal of this end’s thread hand? There is no way back after the press.',
    press: 'Fingers out. The right die. Follow the tool’s own sheet.',
    thread: 'Anti-seize, slow, by hand. Tight early means galling: back off. Against an end that can’t turn, every turn twists the wire.',
    pullThrough: 'Cap the end. A kinked wire is scrap.',
    tension: 'Both ends, equal turns. Stand aside, across the run in passes. Watch the posts.',
    overUpper: 'Over the upper limit: stop.',
    survey: 'Posts like these bend under this pull. Ask an engineer before ordering.',
    quote: 'A quote length: not for cutting.',
    sound: 'Sound: a guide only; prove with gauge or 2 kg.',
    hungPhone: 'Hung phone: a guide only; prove with gauge or 2 kg.',
    deckEdge: 'No barrier here. Tie on or guard it.',
    leaving: 'Is the edge guarded tonight?',
    cold: 'A cold reading flatters. The temperature stands beside it and corrects nothing.',
    bottomed: 'A bottomed stud feels firm. The hidden mark is the only proof.'
  }
};

/** The word for a value of one of the record's lists; an unknown one is shown as it stands. */
export function wordFor(list: Record<string, string>, value: string | null | undefined): string {
  return value ? (list[value] ?? value) : '';
}

/** A list's values as options of a choice. */
export function options<K extends string>(list: Record<K, string>): [K, string][] {
  return Object.entries(list) as [K, string][];
}
