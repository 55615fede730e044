// Words of the screens on site: job, run, measuring, cutting, tension, gaps.
import { spans } from '$lib/core/spans';

const rooms = (list: [string, string, string][]) => list;

export const work = {
  jobs: {
    title: 'Jobs',
    empty: 'No job here yet. Begin one, or join a shared folder under Exchange.',
    add: 'New job',
    find: 'Find',
    disputed: (n: number) => `${n} disputed`,
    defects: (n: number) => (n === 1 ? '1 open defect' : `${n} open defects`),
    missing: (n: number) => `${n} missing`,
    whole: 'no evidence missing',
    nextIs: (sentence: string) => `Next: ${sentence}`,
    notKept: 'not on this device',
    fetch: 'Keep it here too',
    fetched: (title: string) => `${title}: it comes with the next exchange`,
    lacking: 'Only jobs that lack something',
    rules: 'Rule set',
    rulesHint: 'The edition in force on the date of the permit.',
    rulesStand: (name: string) => `In force here: ${name}. Choose another to replace it.`,
    begin: 'Begin the job'
  },
  survey: {
    title: 'Survey from a file',
    bring: 'Survey from a file',
    reading: (name: string) => `Reading ${name} …`,
    recorded: (n: number) => (n === 1 ? '1 thing recorded.' : `${n} things recorded.`),
    already: (n: number) => `${n} were there already.`,
    refused: (n: number) => (n === 1 ? '1 part did not go in. The rest did.' : `${n} parts did not go in. The rest did.`),
    questioned: (n: number) => (n === 1 ? '1 odd value waits. Is it right?' : `${n} odd values wait. Are they right?`),
    problems: 'What did not go in, and doubts',
    outcomes: { refused: 'refused', questioned: 'waits', ignored: 'left out', noted: 'doubt' } as Record<string, string>,
    open: 'Open the job'
  },
  first: {
    title: 'Who writes here?',
    how: 'Your name stands beside everything you record.',
    crew: 'Name of your crew',
    crewHint: 'Those who will share a folder.',
    role: 'This device is mostly for',
    begin: 'Begin',
    or: 'Does your crew share a folder already? Begin here all the same, then join it under Exchange.'
  },
  settingsAbout: 'Name, light or dark, units',
  me: { title: 'Who writes here', person: 'Your name', device: 'This device', program: 'Program' },
  next: { left: (n: number) => `${n} left`, skip: 'Skip this for now', unskip: 'Show what was skipped' },
  job: {
    noRuns: 'No run yet. A run is one barrier line from anchor post to anchor post.',
    addRun: 'New run',
    allFlags: (n: number) => `All ${n}`,
    groups: [
      {
        title: 'Before ordering',
        rooms: rooms([
          ['site', 'Site', 'Permit, fall, salt, children, hazards'],
          ['rules', 'Rule sets', 'By the permit’s date; own ones'],
          ['ordering', 'Before ordering', 'What the rules ask, what is in hand'],
          ['materials', 'Strand and fittings', 'With their figures'],
          ['library', 'Library of the crew', 'Own strands and fitting sets'],
          ['takeoff', 'Take-off', 'Parts to order, LH and RH apart']
        ])
      },
      {
        title: 'On site',
        rooms: rooms([
          ['visits', 'Visits', 'Who, weather, left safe'],
          ['tools', 'Tools', 'Gauge, press, die, probe, mass'],
          ['batches', 'Deliveries', 'Strand and parts, counted'],
          ['plan', 'Cut plan', 'Which wire from which reel'],
          ['sample', 'Sample crimp', 'Trial pressing, pulled'],
          ['pictures', 'Pictures', 'All of this job'],
          ['defects', 'Defects', 'What is to put right']
        ])
      },
      {
        title: 'Office',
        rooms: rooms([
          ['documents', 'Documents', 'Letters, certificates, mill sheets'],
          ['signoffs', 'Sign-offs', 'Who signed which stage'],
          ['missing', 'What is missing', 'Still to get for the handover'],
          ['handover', 'Handover', 'Documents for owner, certifier and file']
        ])
      }
    ]
  },
  newRun: {
    firstPost: 'Begins at an existing post',
    lastPost: 'Ends at an existing post',
    sharedHint: 'A post may carry two runs.',
    raked: 'Rise and going for a raked run only.',
    underside: 'Rail underside above floor or nosings',
    thickness: 'Rail thickness',
    endWidth: 'End posts, width',
    innerWidth: 'Posts between, width',
    endDepth: 'End posts, depth',
    innerDepth: 'Posts between, depth',
    depthHint: 'Width along the run, depth across it: the same on a square post.',
    endHint: 'Left end LH, right end RH; each can be told otherwise on its post.',
    railPair: 'Rail: its underside and its thickness belong together. Type the one that is missing, or empty the other. Nothing was saved.',
    endsPair: 'Ends: their kind and where they are tensioned belong together. Choose the one that is missing, or leave all of it to the cards of the posts. Nothing was saved.',
    slopeOfLevel: 'Rise, going and risers belong to a raked run. Choose Raked, or empty them. Nothing was saved.',
    bays: 'Bays from the left, clear',
    baysHint: 'Face to face, a semicolon between them: 1380; 1410; 1395 or 54 3/8 in; 55 1/2 in. On a rake read level; along the slope they are measured on their cards.',
    baysMeasured: 'Were the bays measured with a tape?',
    bayNumber: (n: number) => `bay ${n}`,
    badBays: 'Bays: type clear distances above zero.',
    needsSlope: 'A raked run needs rise and going.',
    badCount: 'A run has 1 to 200 wires.',
    firstWire: 'Bottom wire above the floor',
    spacing: 'Wire to wire, centres',
    spacingHint: 'At 80 nothing is in hand: one hole at 81 needs the next row of the table. Begin at 75 to 77.',
    tensioner: 'Tensioned at',
    angledSeats: 'Angled seats under the fittings?',
    angledHint: 'As on a rake, where the wire leaves the post at an angle.',
    sides: { left: 'Left end', right: 'Right end', both: 'Both ends' },
    begin: 'Keep the run',
    materialsFirst: 'Strand and fitting set can be given later.',
    materials: 'Give them now'
  },
  run: {
    wires: 'Wires',
    posts: 'Posts and bays',
    facts: 'The run',
    rooms: 'Work',
    list: rooms([
      ['measure', 'Measure', 'Bays, then bottom, middle and top wire'],
      ['tensions', 'Tension plan', 'Required, set, upper'],
      ['cuts', 'Cut sheet', 'Trial wire first'],
      ['layout', 'Layout of wires', 'Number, heights, what is in hand'],
      ['holes', 'Hole schedule', 'Per post face; drilling template'],
      ['work', 'Ticks', 'Cut, pressed, threaded, fitted'],
      ['tension', 'Tension', 'Readings pass by pass, and the recheck'],
      ['gaps', 'Gaps', 'The probe in every bay'],
      ['push', 'Under a push', 'What a sphere needs to pass: a guide']
    ]),
    addPost: 'Add a post in this bay',
    addPostHint: 'Numbers never move: an added post takes a letter.',
    left: 'Clear to its left',
    right: 'Clear to its right',
    postWidth: 'Width along the run',
    postDepth: 'Depth of the post, across the run',
    postDepthHint: 'The same as its width on a square post.'
  },
  rooms: {
    site: 'Site',
    tools: 'Tools',
    batches: 'Deliveries',
    visits: 'Visits',
    materials: 'Strand and fittings',
    strands: 'Strand',
    fittingSets: 'Fitting sets',
    addTool: 'Add a tool',
    addBatch: 'Add a delivery',
    addVisit: 'Begin a visit',
    addStrand: 'Add a strand',
    addFitting: 'Add a fitting set',
    fromStrand: 'Strand from the library',
    copyStrand: 'Copy the strand into the job',
    fromFitting: 'Fitting set from the library',
    copyFitting: 'Copy the fitting set into the job',
    materialsHow: 'Figures from the maker’s sheet, or measured. Each with where it is from.'
  },
  mass: {
    title: '2 kg check',
    under: (g: string) => `under ${g}\u00a0g`,
    down: 'Goes down at mid span',
    downHint: 'Ruler plumb, from where the wire was.',
    grams: 'Mass as weighed, grams',
    gramsHint: 'Weigh it. Hang it in the middle of the bay set above.',
    again: 'Hang it again',
    tells: 'What the hung mass tells',
    gripped: 'Wire taken as gripped at the posts: the careful answer. A tension here stands beside the table; the table’s own limit is in millimetres.',
    sliding: (n: string, band: string) => `sliding ${n}${band ? `, ${band}` : ''}`,
    fromTo: (from: string, to: string) => `${from} to ${to}\u00a0N`
  },
  tension: {
    title: 'Tension',
    stage: 'Stage',
    pass: 'Pass',
    bay: 'Bay where it is read',
    air: 'Air',
    wire: 'Wire',
    sun: 'On the wire',
    noGauge: 'no gauge',
    noBay: 'no bay',
    noTemperature: 'no temperature',
    addGauge: 'Add the gauge under Tools first.',
    widest: 'Read the widest bay and the one furthest from the tensioner.',
    overdue: 'This gauge is overdue for comparison. It is recorded so.',
    needs: 'needs',
    itNeeds: 'it needs',
    noDegrees: (from: number, to: number) => `No temperature in °C: ${from < 0 ? `−${-from}` : from} to ${to}.`,
    never: 'never over',
    scale: (n: number, low: number) => `${n} readings against required, set and upper; ${low} below required`,
    over: (n: number, reads: string, upper: string) => `Wire ${n} shows ${reads}, over the upper tension of ${upper}. Stop and let it out.`,
    tooLow: (needs: string) => `, below the ${needs} that it needs`,
    below: (n: number, reads: string, needs: string) => `Wire ${n} reads ${reads}. It needs ${needs}.`,
    readAgain: (run: string, wires: number[]) => `Run ${run}: read before other wires were turned, read again: wires ${spans(wires)}.`,
    notRead: (bay: string, wires: number[]) => `${bay} is to be read and was not in the newest round: ${wires.length === 1 ? 'wire' : 'wires'} ${spans(wires)}.`,
    byMass: (wires: number[]) => `The hung mass stays within the table in every bay to read: wires ${spans(wires)}.`,
    atMark: (wires: number[]) => `At the mark, above what is required by less than the gauge’s error: ${wires.length === 1 ? 'wire' : 'wires'} ${spans(wires)}.`,
    noPlan: 'No tension is decided for this run.',
    unread: 'Temperature not read',
    setFirst: (lacks: string[]) => `Set once for the round: ${lacks.join(', ')}.`,
    keepDone: 'Keep, round done',
    done: 'Every wire has a reading in this round.',
    nextPass: (n: number) => `Begin pass ${n}`,
    again: 'Read a wire again'
  }
};
