// The facts of a job and of what belongs to it as a whole: tools, deliveries, visits, strand, fittings.
import type { Field, Meaning, Typed } from '$lib/core/form';
import { bareLength } from '$lib/core/format.svelte';
import { options, wordFor } from '$lib/words/site';
import { words } from '$lib/words';
import { far, group, one, pick, type Fact } from './fact';
import { figureIsOf, hasThread } from './end-kinds';
import { withOffers } from './left-safe';
import { withOrigins, type Pair } from './origins';
import { known, valueOf, type Thing } from './view';

const f = words.facts;

export const jobFacts: Fact[] = [
  one('title', f.title, 'text'),
  one('place', f.place, 'text'),
  one('owner', f.owner, 'text'),
  one('certifier', f.certifier, 'text'),
  one('permit', f.permit, 'text'),
  one('permitDate', f.permitDate, 'day', { hint: f.permitHint }),
  one('buildingClass', f.buildingClass, 'text'),
  one('fall', f.fall, 'length'),
  one('below', f.below, 'text', { offers: f.usualBelow }),
  one('pool', f.pool, 'flag', { hint: f.poolHint }),
  one('children', f.children, 'flag'),
  far('saltDistance', f.saltDistance),
  one('chlorine', f.chlorine, 'flag'),
  one('washedByRain', f.washedByRain, 'flag'),
  one('steel', f.steel, 'text', { offers: f.usualSteel }),
  one('dissimilarMetals', f.dissimilarMetals, 'text', { offers: f.usualMetals }),
  one('climbables', f.climbables, 'text', { offers: f.usualClimbables }),
  one('drillingHazards', f.drillingHazards, 'text', { offers: f.usualHazards }),
  one('access', f.access, 'text', { offers: f.usualAccess }),
  one('comingFloor', f.comingFloor, 'length'),
  one('leastWood', f.leastWood, 'length', { hint: f.leastWoodHint })
];

/** Asked of tools of these kinds alone, once the kind is told. */
const of = (...kinds: string[]) => ({ when: (typed: Typed) => kinds.includes(typed.kind ?? '') });
const GAUGE = of('tensionGauge');

export const toolFacts: Fact[] = [
  one('name', f.toolName, 'text'),
  one('kind', f.kind, 'choice', { options: options(words.toolKind) }),
  one('size', f.size, 'length', of('probe', 'die', 'swageGauge')),
  one('massMg', f.massMg, 'number', { unit: 'g', scale: 1000, ...of('mass') }),
  one('rangeFrom', f.rangeFrom, 'force', GAUGE),
  one('rangeTo', f.rangeTo, 'force', { hint: f.rangeHint, ...GAUGE }),
  one('errorPer10000', f.errorPer10000, 'number', { unit: '%', scale: 100, hint: f.errorHint, ...GAUGE }),
  one('reference', words.laser.counts, 'choice', { options: options(words.laserReference), ...of('laser') }),
  one('comparedWith', f.comparedWith, 'text'),
  one('comparedOn', f.comparedOn, 'day'),
  one('due', f.due, 'day'),
  one('certificate', f.certificate, 'text'),
  one('range', f.range, 'text')
];

/** Strand comes on reels; what has a thread comes in two hands. */
const untold = (more: string[]) => ({ when: (typed: Typed) => !typed.kind || more.includes(typed.kind) });
const STRAND = untold(['strand', 'other']);
const HANDED = ['terminal', 'insert', 'lockNut', 'other'];
const TWO_HANDS = untold(HANDED);

const arrivalRest: Field[] = [
  { name: 'short', label: words.delivery.short, kind: 'whole' },
  { name: 'wrong', label: words.delivery.wrong, kind: 'whole' },
  { name: 'remark', label: f.remark, kind: 'text' }
];
const arrival = group('arrival', f.arrival, [
  { name: 'countedLeft', label: f.countedLeft, kind: 'whole', need: true },
  { name: 'countedRight', label: f.countedRight, kind: 'whole', need: true },
  { name: 'tried', label: f.tried, kind: 'flag', need: true },
  ...arrivalRest
]);
/** Of what has no hand: pieces or reels, nothing to be tried in an insert. */
const arrivalOfPieces = group('arrival', f.arrival, [{ name: 'countedLeft', label: f.counted, kind: 'whole', need: true }, ...arrivalRest], { countedRight: 0, tried: false });

export const batchFacts: Fact[] = [
  one('name', f.batchName, 'text'),
  one('kind', f.kind, 'choice', { options: options(words.batchKind) }),
  far('metres', f.strandLength, { hint: f.strandLengthHint, when: (typed) => typed.kind === 'strand' }),
  one('grade', f.grade, 'text'),
  one('heat', f.heat, 'text'),
  one('reel', f.reel, 'text', STRAND),
  one('lay', words.delivery.lay, 'text', STRAND),
  one('thread', words.delivery.thread, 'text', TWO_HANDS),
  one('promised', words.delivery.promised, 'day'),
  one('leftMark', f.leftMark, 'text', TWO_HANDS),
  one('ordered', f.ordered, 'whole'),
  one('offcut', f.offcut, 'flag', { hint: f.offcutHint, ...STRAND }),
  arrival
];

/** Which strand a delivery is, asked only where the job has several. */
export const batchFactsOf = (strands: { id: string; name: string }[]): Fact[] =>
  strands.length < 2 ? batchFacts : [...batchFacts, one('strand', f.batchStrand, 'choice', { options: strands.map((s): [string, string] => [s.id, s.name]), ...STRAND })];

/** The same for one delivery: of what has no hand pieces are counted, unless somebody told of hands. */
export function batchFactsFor(batch: Thing, strands: { id: string; name: string }[]): Fact[] {
  const kind = valueOf<string>(batch, 'kind');
  const facts = batchFactsOf(strands);
  if (kind === undefined || HANDED.includes(kind)) return facts;
  const told = known(batch, 'arrival')?.tips.map((t) => t.value) ?? [];
  const byHand = told.some((value) => pick(value, 'countedRight') !== 0 || pick(value, 'tried') === true);
  return facts.map((fact) => (fact === arrival && !byHand ? arrivalOfPieces : fact.field === 'ordered' ? { ...fact, label: f.orderedPieces, inputs: fact.inputs.map((i) => ({ ...i, label: f.orderedPieces })) } : fact));
}

export const cuttingFacts: Fact[] = [
  group('cutting', f.cutting, [
    { name: 'kerfNm', label: f.kerf, kind: 'length', hint: f.kerfHint, need: true },
    { name: 'endTrimNm', label: f.endTrim, kind: 'length', need: true },
    { name: 'leastUsableNm', label: f.leastUsable, kind: 'length', need: true },
    { name: 'newReelNm', label: f.newReel, kind: 'length' },
    { name: 'asListed', label: f.asListed, kind: 'flag', hint: f.asListedHint }
  ])
];

/** How the edge was left at the end of a day. */
export const leftSafeFact = group('leftSafe', f.leftSafe, [
  { name: 'how', label: f.guardedHow, kind: 'text', need: true },
  { name: 'told', label: f.told, kind: 'text', need: true }
]);

export const visitFacts: Fact[] = [
  one('day', f.day, 'day'),
  one('why', f.why, 'text'),
  one('who', f.who, 'text'),
  one('weather', f.weather, 'text'),
  leftSafeFact
];

/**
 * What is known of a visit, with what other visits say of how the edge was left, and the known length that is read with the
 * day's laser or tape, one of the job's tools.
 */
export const visitFactsOf = (tools: Thing[], visits: Thing[] = []): Fact[] => [
  ...visitFacts.map((fact) => (fact === leftSafeFact ? { ...fact, inputs: withOffers(fact.inputs, visits) } : fact)),
  group('lengthCheck', words.laser.check, [
    { name: 'tool', label: words.laser.tool, kind: 'choice', options: tools.filter((t) => ['laser', 'tape'].includes(valueOf<string>(t, 'kind') ?? '')).map((t): [string, string] => [t.id, t.name]) },
    { name: 'knownNm', label: words.laser.known, kind: 'length', need: true },
    { name: 'readNm', label: words.laser.read, kind: 'length', need: true }
  ])
];

export const strandFacts: Fact[] = [
  one('name', f.strandName, 'text'),
  group('figures', f.figures, [
    { name: 'construction', label: f.construction, kind: 'choice', options: options(words.construction), need: true },
    { name: 'diameterNm', label: f.diameter, kind: 'length', need: true },
    { name: 'diameterOrigin', label: f.diameterOrigin, kind: 'text' },
    { name: 'eaMn', label: f.ea, kind: 'force', need: true },
    { name: 'eaOrigin', label: f.eaOrigin, kind: 'text', need: true },
    { name: 'breakingMn', label: f.breaking, kind: 'force' },
    { name: 'breakingOrigin', label: f.breakingOrigin, kind: 'text' },
    { name: 'stretchPpm', label: f.stretch, kind: 'number', unit: 'mm/m', scale: 1000, need: true },
    { name: 'stretchOrigin', label: f.stretchOrigin, kind: 'text', need: true },
    { name: 'grade', label: f.grade, kind: 'text' }
  ])
];

const terminalInputs = [
  ['overallNm', f.overall],
  ['mouthNm', f.mouth],
  ['insertionNm', f.insertion],
  ['growthNm', f.growth],
  ['threadNm', f.thread],
  ['leastEngagementNm', f.leastEngagement],
  ['startNm', f.startEngagement],
  ['reserveNm', f.reserve],
  ['lockNutNm', f.lockNut],
  ['threadDiameterNm', f.threadDiameter],
  ['pitchNm', f.pitch],
  ['holeNm', f.hole],
  ['holeDepthNm', f.holeDepth]
] as const;

/** Asked of the kinds of ends that have it; a figure of another kind is neither asked for nor kept. */
const figure = (name: string, label: string, extra: Partial<Field> = {}): Field => ({ name, label, kind: 'length', when: (typed) => figureIsOf(typed.kind, name), ...extra });
const ofOneHand: Field[] = [
  { name: 'kind', label: f.endKind, kind: 'choice', options: options(words.endKind), need: true },
  ...terminalInputs.map(([name, label]) => figure(name, label, name === 'mouthNm' ? { hint: f.mouthHint } : { need: true })),
  figure('clearDepthNm', f.clearDepth),
  figure('washerNm', f.washer),
  figure('seatNm', f.seat)
];
/** What a terminal of another kind than the left one can't do without. */
const OWN = ['overallNm', 'insertionNm', 'growthNm'];
const oneHand = group('', '', ofOneHand);
/** The right-hand terminal: asked for only where it differs, so that a pair that is alike is typed once. */
const RH = 'right.';
const UNEQUAL = 'unequalStartNm';
/** The figures of one terminal. */
const FIGURES = ofOneHand.flatMap((i) => (i.kind === 'length' ? [i.name] : []));
const rightKind = (typed: Record<string, unknown>) => String(typed[`${RH}kind`] ?? '') || String(typed.kind ?? '');
/** A figure is one of its kind of end: of another kind it is typed anew, with where it is from. Kind of each hand before and after. */
function cleared(typed: Typed, name: string, value: string): string[] {
  const after = { ...typed, [name]: value };
  const other = (kind: (of: Typed) => string) => kind(typed) !== '' && kind(typed) !== kind(after);
  const gone = [...(other((of) => of.kind ?? '') ? FIGURES : []), ...(other(rightKind) ? FIGURES.map((one) => RH + one) : [])];
  return gone.length > 0 ? [...gone, UNEQUAL, 'origin'] : [];
}
const ofLeft: Field[] = ofOneHand.map((i, n) => (n === 0 ? { ...i, clears: (typed, value) => cleared(typed, 'kind', value) } : i));
const ofRight: Field[] = ofOneHand.map((i, n) => ({
  ...i, name: RH + i.name, label: words.hands.right(i.label), need: false,
  ...(n === 0 ? { hint: words.hands.rightHint, clears: (typed, value) => cleared(typed, `${RH}kind`, value) } : { when: (typed) => figureIsOf(rightKind(typed), i.name) })
}));
const terminals = group('terminals', f.terminals, [...ofLeft, { name: UNEQUAL, label: f.unequalStart, kind: 'length', hint: f.unequalHint }, { name: 'origin', label: f.origin, kind: 'text', need: true }, ...ofRight]);

/** What stands of a terminal, without its hand. */
function bare(terminal: unknown): Record<string, unknown> {
  const { hand: _hand, ...rest } = (terminal ?? {}) as Record<string, unknown>;
  return Object.fromEntries(Object.entries(rest).filter(([, v]) => v !== undefined && v !== null));
}
const alike = (a: Record<string, unknown>, b: Record<string, unknown>) => ofOneHand.every((i) => a[i.name] === b[i.name]);

/** Whether figures of a terminal go on: those beside an end without a thread whose mouth nobody told may be a stud's, copied. */
const goesOn = (terminal: Record<string, unknown>) => hasThread(terminal.kind as string) || terminal.mouthNm !== undefined;
const standing = (terminal: Record<string, unknown>) => (goesOn(terminal) ? terminal : { kind: terminal.kind });

/** The terminals that stood, without what was told of a hand that makes another kind of end now: nothing of it goes on. */
function ofTheirKinds(before: Pair, after: Pair): Pair {
  const goes = (hand: 'left' | 'right') => before[hand].kind === after[hand].kind && goesOn(before[hand]);
  const bare = (hand: 'left' | 'right') => (goes(hand) ? before[hand] : {});
  const own = before.origins && Object.fromEntries(Object.entries(before.origins).filter(([path]) => !(path.startsWith('left.') && !goes('left')) && !(path.startsWith('right.') && !goes('right'))));
  return { ...before, left: bare('left'), right: bare('right'), ...(own ? { origins: own } : {}) };
}

/** What a list of sets shows of a terminal; its card shows all. */
const BRIEF = [f.endKind, f.overall, f.thread, f.origin];

const terminalsFact: Fact = {
  ...terminals,
  compose: (values) => {
    const left = oneHand.compose(values) as Record<string, unknown> | undefined;
    if (!left) return undefined;
    const own = Object.fromEntries(ofOneHand.map((i) => [i.name, values[RH + i.name]]).filter(([, v]) => v !== undefined));
    // An empty figure is as at the left; 0 says that the right one has no such thing.
    const none = (name: string) => own[name] === 0 && !ofOneHand.find((i) => i.name === name)?.need;
    // Nothing is taken over from an end of another kind.
    const other = own.kind !== undefined && own.kind !== left.kind;
    const lacking = other ? ofOneHand.find((i) => OWN.includes(i.name) && figureIsOf(own.kind as string, i.name) && own[i.name] === undefined) : undefined;
    if (lacking) throw new Error(words.hands.rightLacks(lacking.label));
    const right = Object.fromEntries(Object.entries(other ? own : { ...left, ...own }).filter(([name]) => other || !none(name)));
    return { left: { hand: 'LH', ...left }, right: { hand: 'RH', ...right }, ...(values[UNEQUAL] === undefined ? {} : { [UNEQUAL]: values[UNEQUAL] }), origin: values.origin };
  },
  onto: (values, before) => {
    const after = terminalsFact.compose(values) as Pair | undefined;
    return after && withOrigins(ofTheirKinds(before as Pair, after), after, FIGURES);
  },
  goesOn: (name, values, before) => {
    const hand = name.startsWith(RH) ? 'right' : 'left';
    const stood = bare(pick(before, hand));
    return stood.kind === (hand === 'left' ? String(values.kind ?? '') : rightKind(values)) && goesOn(stood);
  },
  fill: (value, unit) => {
    const [left, right] = [standing(bare(pick(value, 'left'))), standing(bare(pick(value, 'right')))];
    const same = alike(left, right);
    const missing = (name: string) => right.kind === left.kind && right[name] === undefined && left[name] !== undefined;
    const rightHand = same ? {} : Object.fromEntries(Object.entries(oneHand.fill(right, unit)).map(([name, text]) => [RH + name, missing(name) ? '0' : text]));
    const unequal = pick(value, UNEQUAL) as number | undefined;
    return { ...oneHand.fill(left, unit), ...rightHand, ...(unequal == null ? {} : { [UNEQUAL]: bareLength(unequal, unit) }), origin: String(pick(value, 'origin') ?? '') };
  },
  exact: (value) => {
    const [left, right] = [bare(pick(value, 'left')), bare(pick(value, 'right'))];
    const rightHand = Object.fromEntries(Object.entries(right).map(([name, figure]) => [RH + name, figure]));
    return { ...left, ...rightHand, [UNEQUAL]: pick(value, UNEQUAL) } as Record<string, Meaning>;
  },
  tell: (value) => {
    const [left, right] = [bare(pick(value, 'left')), bare(pick(value, 'right'))];
    const hand = (t: Record<string, unknown>) => `${wordFor(words.endKind, String(t.kind ?? ''))}, ${oneHand.tell({ overallNm: t.overallNm, threadNm: t.threadNm })}`;
    return alike(left, right) ? hand(left) : `LH ${hand(left)}; RH ${hand(right)}`;
  },
  lines: (value) => {
    const [left, right] = [bare(pick(value, 'left')), bare(pick(value, 'right'))];
    const differs = (name: string) => left[name] !== right[name];
    const origin = String(pick(value, 'origin') ?? '');
    const own = (pick(value, 'origins') ?? {}) as Record<string, string>;
    /** Where one figure is from, where that was told by itself. */
    const from = (name: string, hands: string[]) => {
      const all = [...new Set(hands.flatMap((hand) => own[`${hand}.${name}`] ?? []))].join('; ');
      return all ? { origin: all } : {};
    };
    return [
      ...ofOneHand.flatMap((i) => {
        const of = group('', '', [i]);
        if (!differs(i.name)) return of.lines(left).map((l) => ({ ...l, ...from(i.name, ['left', 'right']) }));
        const told = (hand: string, t: Record<string, unknown>, side: string) => of.lines(t).map((l) => ({ ...l, label: `${l.label}, ${hand}`, ...from(i.name, [side]) }));
        return [...told('LH', left, 'left'), ...told('RH', right, 'right')];
      }),
      ...(origin ? [{ label: f.origin, value: '', origin }] : [])
    ];
  },
  brief: (value) => terminalsFact.lines(value).filter((l) => BRIEF.some((label) => l.label.startsWith(label)))
};

export const fittingFacts: Fact[] = [
  one('name', f.fittingName, 'text'),
  terminalsFact,
  one('throughHole', f.throughHole, 'length'),
  group('efficiency', f.efficiency, [
    { name: 'permille', label: f.permille, kind: 'number', unit: '%', scale: 10, need: true },
    { name: 'factorPercent', label: f.factorPercent, kind: 'number', scale: 100, need: true }
  ]),
  one('driver', words.driver, 'text'),
  one('fixedDeduction', f.fixedDeduction, 'length', { hint: f.fixedHint }),
  one('insertPull', f.insertPull, 'force'),
  one('threadLimit', f.threadLimit, 'force', { hint: f.limitHint })
];

const SPARES = [
  ['terminals', f.spareTerminals],
  ['inserts', f.spareInserts],
  ['lockNuts', f.spareNuts],
  ['angledSeats', f.spareSeats],
  ['linings', f.spareLinings]
] as const;

/** Sample, scrap and over are typed as three numbers for each part. */
const allowances: Fact = {
  field: 'allowances',
  label: f.allowances,
  inputs: [
    ...SPARES.map(([name, label]) => ({ name, label, kind: 'text' as const, hint: f.spareHint })),
    { name: 'sampleStrandNm', label: f.sampleStrand, kind: 'length' },
    { name: 'scrapStrandNm', label: f.scrapStrand, kind: 'length' }
  ],
  compose: (values) => {
    const spares = SPARES.map(([name]) => [name, spare(String(values[name] ?? ''))]);
    return { ...Object.fromEntries(spares), sampleStrandNm: values.sampleStrandNm ?? 0, scrapStrandNm: values.scrapStrandNm ?? 0 };
  },
  fill: (value, unit) => {
    const three = (v: unknown) => [pick(v, 'sample'), pick(v, 'scrap'), pick(v, 'over')].map((n) => String(n ?? 0)).join(' ');
    const lengths = group('', '', [
      { name: 'sampleStrandNm', label: '', kind: 'length' },
      { name: 'scrapStrandNm', label: '', kind: 'length' }
    ]).fill(value, unit);
    return { ...Object.fromEntries(SPARES.map(([name]) => [name, three(pick(value, name))])), ...lengths };
  },
  exact: (value) => ({ sampleStrandNm: pick(value, 'sampleStrandNm') as Meaning, scrapStrandNm: pick(value, 'scrapStrandNm') as Meaning }),
  tell: (value) => SPARES.map(([name, label]) => `${label.toLowerCase()} ${total(pick(value, name))}`).join(', '),
  lines: (value) => SPARES.map(([name, label]) => ({ label, value: String(total(pick(value, name))) }))
};

function spare(text: string): { sample: number; scrap: number; over: number } {
  const parts = text.split(/[\s,;+]+/).filter(Boolean).map(Number);
  const [sample = 0, scrap = 0, over = 0] = parts;
  if (parts.length > 3 || parts.some((n) => !Number.isInteger(n) || n < 0)) throw new Error(f.spareBad);
  return { sample, scrap, over };
}

function total(value: unknown): number {
  return ['sample', 'scrap', 'over'].reduce((sum, key) => sum + Number(pick(value, key) ?? 0), 0);
}

export const allowanceFacts: Fact[] = [allowances];
