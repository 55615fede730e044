// The crew's own strands and fitting sets: from a form to a sheet and back. Pure but for the calls.
import { call } from '$lib/core/call';
import type { Field, Meaning, Typed } from '$lib/core/form';
import { bareLength, number } from '$lib/core/format.svelte';
import type { LengthUnit } from '$lib/core/length';
import type { EndKind, FittingSheet, KeepStrand, Libraries, OwnFitting, OwnStrand, Recorded, SheetFigure, StrandSheet } from '$lib/generated/api';
import { words } from '$lib/words';
import { options } from '$lib/words/site';
import { figureIsOf, hasThread } from './end-kinds';
import { fittingFacts, strandFacts } from './facts-job';

const w = words.library;

export const loadOwn = async (): Promise<Libraries['own']> => (await call('libraries', {})).own;
/** The figures as they were typed; an odd one is questioned, and `confirmed` says yes to it. */
export type Said = Pick<KeepStrand, 'entered' | 'confirmed'>;
export const keepStrand = (name: string, sheet: StrandSheet, said: Said, id?: string): Promise<Recorded> => call('keepStrand', { name, sheet, ...said, ...(id ? { id } : {}) });
export const keepFittingSet = (name: string, sheet: FittingSheet, said: Said, id?: string): Promise<Recorded> => call('keepFittingSet', { name, sheet, ...said, ...(id ? { id } : {}) });

/** The inputs of a job's own facts under the sheet's names, none of them needed: what a sheet does not tell stays empty. */
const inputs = (facts: typeof strandFacts, fields: string[], names: string[]): Field[] =>
  facts.filter((f) => fields.includes(f.field)).flatMap((f) => f.inputs).filter((i) => names.includes(i.name)).map((i) => ({ ...i, need: false }));

const STRAND = inputs(strandFacts, ['figures'], ['diameterNm', 'eaMn', 'breakingMn', 'stretchPpm']);
const TERMINAL = inputs(fittingFacts, ['terminals'], [
  'overallNm', 'mouthNm', 'insertionNm', 'growthNm', 'threadNm', 'leastEngagementNm', 'startNm', 'reserveNm', 'lockNutNm', 'threadDiameterNm', 'pitchNm', 'holeNm', 'holeDepthNm', 'seatNm', 'clearDepthNm',
  'washerNm'
]).map((i) => (i.name === 'pitchNm' ? { ...i, hint: w.pitchHint } : i));
/** The right terminal where it is of another kind: nothing of the left one is its. */
const RH = 'right.';
const apart = (typed: Typed) => Boolean(typed.rightKind) && typed.rightKind !== typed.kind;
const RIGHT: Field[] = TERMINAL.map((i) => ({ ...i, name: RH + i.name, label: words.hands.right(i.label), when: (typed) => apart(typed) && figureIsOf(typed.rightKind, i.name) }));
/** Facts of one length or force are named without their unit in a job. */
const RENAMED: Record<string, string> = { throughHole: 'throughHoleNm', insertPull: 'insertPullMn', threadLimit: 'threadLimitMn', fixedDeduction: 'fixedDeductionNm' };
const SET = inputs(fittingFacts, ['terminals', 'throughHole', 'efficiency', 'insertPull', 'threadLimit', 'fixedDeduction'], ['unequalStartNm', 'throughHole', 'permille', 'factorPercent', 'insertPull', 'threadLimit', 'fixedDeduction'])
  .map((i) => ({ ...i, name: RENAMED[i.name] ?? i.name }));

const pageOf = (name: string) => `page:${name}`;
/** Figures of a set that count both ends: of other ends they are others. */
const OF_BOTH = ['unequalStartNm', 'fixedDeductionNm'];
/** A figure and its page are those of a kind of end: of another kind both are typed anew. */
const clearing = (figures: Field[], kind: (typed: Typed) => string | undefined, name: string) => (typed: Typed, value: string) => {
  const [before, after] = [kind(typed) ?? '', kind({ ...typed, [name]: value }) ?? ''];
  return before === '' || before === after ? [] : [...figures.map((f) => f.name), ...OF_BOTH].flatMap((one) => [one, pageOf(one)]);
};

/** Each figure is followed by its page, which is asked once the figure is typed. */
const withPages = (figures: Field[]): Field[] =>
  figures.flatMap((f) => [f, { name: pageOf(f.name), label: w.page(f.label), kind: 'text' as const, hint: w.pageHint, when: (typed: Typed) => Boolean(typed[f.name]?.trim()) && (f.when?.(typed) ?? true) }]);

const head = (label: string): Field[] => [
  { name: 'name', label, kind: 'text', need: true },
  { name: 'sheet', label: w.sheet, kind: 'text', need: true }
];

export const strandForm: Field[] = [
  ...head(words.facts.strandName),
  { name: 'construction', label: words.facts.construction, kind: 'choice', options: options(words.construction), need: true },
  ...withPages(STRAND),
  { name: 'grade', label: words.facts.grade, kind: 'text' }
];

export const fittingForm: Field[] = [
  ...head(words.facts.fittingName),
  { name: 'kind', label: words.facts.endKind, kind: 'choice', options: options(words.endKind), need: true, clears: clearing(TERMINAL, (typed) => typed.kind, 'kind') },
  ...withPages(TERMINAL),
  { name: 'rightKind', label: w.rightKind, kind: 'choice', options: options(words.endKind), hint: w.rightKindHint, clears: clearing(RIGHT, (typed) => typed.rightKind || typed.kind, 'rightKind') },
  ...withPages(RIGHT),
  ...withPages(SET)
];

type Figures = Record<string, SheetFigure>;

/** What a form was filled from, and what stands in it now. */
export interface Edited<T> {
  own: T;
  typed: Typed;
  unit: LengthUnit;
}

/**
 * Figures that were told, each with its sheet and page; one without a page names the sheet alone. One that was left as
 * it stood keeps its very figure and its origin; one that was changed under an old page is from the sheet as a whole.
 */
function figuresOf(fields: Field[], values: Record<string, Meaning>, before: Figures = {}, edited?: Omit<Edited<unknown>, 'own'>): Figures {
  const sheet = String(values.sheet ?? '').trim();
  const start = edited ? typedOf(fields, before, edited.unit) : {};
  const left = (name: string) => edited !== undefined && start[name] !== undefined && (edited.typed[name] ?? '').trim() === start[name];
  return Object.fromEntries(
    fields.flatMap((f) => {
      const n = values[f.name];
      const stood = before[f.name];
      if (typeof n !== 'number') return [];
      const samePage = left(pageOf(f.name));
      const same = left(f.name) ? stood : undefined;
      if (same && samePage) return [[f.name, same] as const];
      const page = samePage ? '' : String(values[pageOf(f.name)] ?? '').trim();
      return [[f.name, { n: same?.n ?? n, origin: page ? `${sheet}, ${page}` : sheet }] as const];
    })
  );
}

export function strandSheet(values: Record<string, Meaning>, edited?: Edited<OwnStrand>): StrandSheet {
  const grade = String(values.grade ?? '').trim();
  return { construction: String(values.construction ?? ''), ...(grade ? { grade } : {}), figures: figuresOf(STRAND, values, known(edited?.own.sheet?.figures), edited) } as StrandSheet;
}

/** One form fills both hands: they are alike but for their thread. A right hand that was told apart keeps what was left. */
export function fittingSheet(values: Record<string, Meaning>, edited?: Edited<OwnFitting>): FittingSheet {
  const sheet = edited?.own.sheet;
  const kind = values.kind as EndKind;
  // Of another kind nothing goes on, whatever number is typed again.
  const before = known(sheet?.kind === kind ? sheet.left : undefined);
  const left = figuresOf(TERMINAL, values, before, edited);
  const set = figuresOf(SET, values, known(sheet?.set), edited);
  const rightKind = values.rightKind as EndKind | undefined;
  if (rightKind && rightKind !== kind) {
    const own = figuresOf(RIGHT, values, atRight(sheet?.rightKind === rightKind ? sheet.right : undefined), edited);
    return { kind, rightKind, left, right: Object.fromEntries(Object.entries(own).map(([name, figure]) => [name.slice(RH.length), figure])), set };
  }
  const right = Object.fromEntries(Object.entries(left).map(([name, figure]) => [name, figure === before[name] && !sheet?.rightKind ? (sheet?.right[name] ?? figure) : figure]));
  return { kind, left, right, set };
}

/** A right terminal's figures under the names of the form. */
const atRight = (figures: FittingSheet['right'] | undefined): Figures => Object.fromEntries(Object.entries(known(figures)).map(([name, figure]) => [RH + name, figure]));

function known(figures: { [key: string]: SheetFigure | undefined } | undefined): Figures {
  return Object.fromEntries(Object.entries(figures ?? {}).flatMap(([name, figure]) => (figure ? [[name, figure] as const] : [])));
}

/** The sheet that all figures name, as far as they name one. */
function sheetOf(...parts: Figures[]): Typed {
  const named = new Set(parts.flatMap((figures) => Object.values(figures).map((figure) => figure.origin.split(', ')[0] ?? '')));
  const [only = ''] = named;
  return named.size === 1 ? { sheet: only } : {};
}

function typedOf(fields: Field[], figures: { [key: string]: SheetFigure | undefined }, unit: LengthUnit): Typed {
  return Object.fromEntries(
    fields.flatMap((f) => {
      const figure = figures[f.name];
      if (!figure) return [];
      const text = f.kind === 'length' ? bareLength(figure.n, unit) : f.kind === 'force' ? number(figure.n / 1000, 3) : number(figure.n / (f.scale ?? 1), 6);
      return [[f.name, text], [pageOf(f.name), figure.origin]] as [string, string][];
    })
  );
}

/** Of an end without a thread whose mouth nobody told nothing is filled in: it may be a stud's. */
const standing = (figures: FittingSheet['left'], kind: EndKind) => (hasThread(kind) || figures.mouthNm ? figures : {});

/** What the form holds of a strand that is there: each figure's page tells its whole origin. */
export const strandTyped = (own: OwnStrand, unit: LengthUnit): Typed =>
  own.sheet ? { name: own.name, ...sheetOf(known(own.sheet.figures)), construction: own.sheet.construction, grade: own.sheet.grade ?? '', ...typedOf(STRAND, own.sheet.figures, unit) } : { name: own.name };

export const fittingTyped = (own: OwnFitting, unit: LengthUnit): Typed =>
  own.sheet ? { name: own.name, ...sheetOf(known(own.sheet.left), known(own.sheet.set)), kind: own.sheet.kind, ...typedOf(TERMINAL, standing(own.sheet.left, own.sheet.kind), unit), ...(own.sheet.rightKind ? { rightKind: own.sheet.rightKind, ...typedOf(RIGHT, atRight(standing(own.sheet.right, own.sheet.rightKind)), unit) } : {}), ...typedOf(SET, own.sheet.set, unit) } : { name: own.name };

/** How far something of the crew is from being used. */
export const readiness = (own: OwnStrand | OwnFitting): string => (own.asks.length === 0 ? w.ready : w.lacks(own.asks.length));
