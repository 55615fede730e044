// The facts of a run and its posts.
import type { Field, Typed } from '$lib/core/form';
import { length, number } from '$lib/core/format.svelte';
import { options } from '$lib/words/site';
import { words } from '$lib/words';
import { group, one, pick, several, type Fact } from './fact';
import { hasThread } from './end-kinds';

const f = words.facts;

const railInputs: Field[] = [
  { name: 'undersideNm', label: f.underside, kind: 'length', need: true },
  { name: 'thicknessNm', label: f.thickness, kind: 'length', need: true },
  { name: 'stiffnessNPerM', label: f.railStiffness, kind: 'number', unit: 'N/mm', scale: 1000, hint: f.railStiffnessHint },
  { name: 'stiffnessHeightNm', label: f.stiffnessHeight, kind: 'length' }
];

/** Stiffness is told per millimetre, as it is read from a pull and a rule. */
function railText(value: unknown): string {
  const nm = (key: string) => pick(value, key) as number | undefined;
  const [underside, thickness, at] = [nm('undersideNm'), nm('thicknessNm'), nm('stiffnessHeightNm')];
  const perM = pick(value, 'stiffnessNPerM') as number | undefined;
  return [
    underside === undefined ? '' : `${f.underside.toLowerCase()} ${length(underside)}`,
    thickness === undefined ? '' : `${f.thickness.toLowerCase()} ${length(thickness)}`,
    perM === undefined || perM === null ? '' : f.stiffnessTold(number(perM / 1000), at ? length(at) : '')
  ].filter(Boolean).join(', ');
}

/** A level run has no slope to tell. */
const notLevel = (typed: Typed) => typed.shape !== 'level';

export const runFacts: Fact[] = [
  one('name', f.runName, 'text'),
  one('surface', f.surface, 'choice', { options: options(words.surface) }),
  one('shape', f.shape, 'choice', { options: options(words.shape) }),
  one('fall', f.runFall, 'length'),
  one('height', f.height, 'length'),
  group('slope', f.slope, [
    { name: 'riseNm', label: f.rise, kind: 'length', need: true, when: notLevel },
    { name: 'goingNm', label: f.going, kind: 'length', need: true, when: notLevel },
    { name: 'risers', label: f.risers, kind: 'whole', when: notLevel },
    { name: 'overhangNm', label: f.overhang, kind: 'length', when: notLevel, hint: f.overhangHint }
  ]),
  {
    ...group('rail', f.rail, railInputs),
    tell: (value) => railText(value)
  },
  one('wireCount', f.wireCount, 'whole'),
  several('wireHeights', f.wireHeights, { hint: f.wireHeightsHint }),
  one('followsFloor', f.followsFloor, 'flag', { hint: f.followsFloorHint }),
  one('railFollowsFloor', f.railFollowsFloor, 'flag', { hint: f.railFollowsFloorHint }),
  group('warmth', f.warmth, [
    { name: 'cutCdeg', label: f.warmthCut, kind: 'celsius', need: true, hint: f.warmthHint },
    { name: 'tensionedCdeg', label: f.warmthTensioned, kind: 'celsius', need: true }
  ]),
  one('lining', f.lining, 'choice', { options: options(words.lining) })
];

/** What carries the wire; a gate's post names the one across from it, of the posts that there are. */
export function supportFact(posts: [id: string, name: string][], gate = false): Fact {
  const ofGate: Field[] = [
    { name: 'gateAcross', label: f.gateAcross, kind: 'choice', options: posts },
    { name: 'gateClearNm', label: f.gateClear, kind: 'length', hint: f.gateClearHint },
    { name: 'gateLeafNm', label: f.gateLeaf, kind: 'length' },
    { name: 'gateLeafThickNm', label: f.gateLeafThick, kind: 'length' },
    { name: 'gateHingeGapNm', label: f.gateHingeGap, kind: 'length' }
  ];
  return group('support', f.support, [
    { name: 'kind', label: f.kind, kind: 'choice', options: options(words.supportKind), need: true },
    { name: 'countsAsPost', label: f.countsAsPost, kind: 'flag' },
    { name: 'confirmedBy', label: f.confirmedBy, kind: 'text' },
    { name: 'substrate', label: f.substrate, kind: 'text' },
    { name: 'embedmentNm', label: f.embedment, kind: 'length' },
    { name: 'edgeNm', label: f.edgeDistance, kind: 'length' },
    ...(gate ? ofGate : [])
  ]);
}

/** Facts of a post itself. */
export const postFacts: Fact[] = [
  one('name', f.postName, 'text', { hint: f.postNameHint }),
  group('section', f.section, [
    { name: 'alongNm', label: f.alongRun, kind: 'length', need: true },
    { name: 'acrossNm', label: f.acrossRun, kind: 'length', need: true },
    { name: 'wallNm', label: f.wall, kind: 'length' },
    { name: 'solid', label: f.solid, kind: 'flag' }
  ]),
  group('material', f.material, [
    { name: 'name', label: f.species, kind: 'text', need: true, offers: f.usualMaterials },
    { name: 'grade', label: f.grade, kind: 'text' },
    { name: 'treatment', label: f.treatment, kind: 'text', offers: f.usualTreatments },
    { name: 'modulusMpa', label: f.modulus, kind: 'whole', unit: 'MPa' },
    { name: 'modulusOrigin', label: f.modulusOrigin, kind: 'text' },
    { name: 'bendingMpa', label: f.bending, kind: 'whole', unit: 'MPa' },
    { name: 'bendingOrigin', label: f.bendingOrigin, kind: 'text' },
    { name: 'moisturePermille', label: f.moisture, kind: 'number', unit: '%', scale: 10 }
  ]),
  group('base', f.base, [
    { name: 'kind', label: f.baseKind, kind: 'text', need: true, offers: f.usualBases },
    { name: 'bolts', label: f.bolts, kind: 'whole' },
    { name: 'spacingNm', label: f.boltSpacing, kind: 'length' },
    { name: 'turningNMPerRad', label: f.baseTurning, kind: 'number', unit: 'kN·m/rad', scale: 1000 },
    { name: 'turningOrigin', label: f.baseTurningOrigin, kind: 'text' },
    { name: 'seen', label: f.seen, kind: 'flag', need: true }
  ]),
  one('railJoint', f.railJoint, 'choice', { options: options(words.railJoint) }),
  one('condition', f.condition, 'choice', { options: options(words.condition) }),
  one('floor', f.floor, 'length', { signed: true, hint: f.floorHint }),
  one('tensionLimit', f.tensionLimit, 'force', { hint: f.tensionLimitHint }),
  supportFact([])
];

/** Facts of a bay; its clear distance is measured, not said. */
export const bayFacts: Fact[] = [
  group('lowSpot', f.lowSpot, [
    { name: 'levelNm', label: f.lowSpotLevel, kind: 'length', need: true, signed: true, hint: f.floorHint },
    { name: 'fromLeftNm', label: f.lowSpotFromLeft, kind: 'length', hint: f.lowSpotHint }
  ])
];

/** Facts of a post in one run; their place is the run. */
export const postInRunFacts: Fact[] = [
  one('position', f.position, 'length', { signed: true }),
  one('role', f.role, 'choice', { options: options(words.postRole) })
];

/** The end of a run at an anchor post; its place is the run. */
const threaded = (typed: Record<string, unknown>) => hasThread(typed.kind as string | undefined);
/** Ends whose holes the schedule lists. */
const holed = (typed: Record<string, unknown>) => typed.kind === 'insert' || typed.kind === 'throughBolt';
const endOf = group('end', f.end, [
  { name: 'kind', label: f.endKind, kind: 'choice', options: options(words.endKind), need: true },
  { name: 'hand', label: f.hand, kind: 'choice', options: options(words.hand), need: true, when: threaded },
  { name: 'tensioner', label: f.tensioner, kind: 'flag', need: true, when: threaded },
  { name: 'angledSeat', label: f.angledSeat, kind: 'flag' },
  { name: 'asideNm', label: f.aside, kind: 'length', signed: true, hint: f.asideHint, when: holed },
  { name: 'otherEnters', label: f.otherEnters, kind: 'choice', options: options(words.faceSide), hint: f.otherEntersHint, when: (typed) => holed(typed) && Boolean(typed.asideNm) }
]);

/** The same of one post, which can name the others; the figures of a gate are asked of a gate's post. */
export function factsOfPost(posts: [id: string, name: string][], gate: boolean): Fact[] {
  return postFacts.map((fact) => (fact.field === 'support' ? supportFact(posts, gate) : fact));
}

/** What an end without a thread has of one is not told. */
function ofKind(value: unknown): unknown {
  const { hand, tensioner, ...rest } = (value ?? {}) as Record<string, unknown>;
  return threaded(rest) ? value : rest;
}

/** An end without a thread has no hand and is tensioned nowhere: the record's word for it takes the other terminal of the set. */
export const endFact: Fact = {
  ...endOf,
  compose: (values) => {
    const own = endOf.compose(values) as Record<string, unknown> | undefined;
    return own && !threaded(own) ? { ...own, hand: 'RH', tensioner: false } : own;
  },
  fill: (value, unit) => endOf.fill(ofKind(value), unit),
  tell: (value) => endOf.tell(ofKind(value)),
  lines: (value) => endOf.lines(ofKind(value))
};
