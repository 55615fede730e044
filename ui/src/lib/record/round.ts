// A round of tension readings: what was set once, which wire comes next, what a reading says. Pure.
import { plainDigits } from '$lib/core/digits';
import { today } from '$lib/core/format.svelte';
import { parseNumber } from '$lib/core/length';
import type { ReadingState, Sun } from '$lib/generated/api';
import { words } from '$lib/words';
import type { RoundSet } from './acts';
import { counts, cutOf, doneOf, readings, type Reading } from './wires';
import { lineOf, type Bay, type Run, type Wire } from './view';

export interface Round {
  stage: 'pass' | 'final' | 'recheck';
  pass: number;
  gauge: string;
  /** The bay's place, `<post>:<post>`. */
  bay: string;
  airC: string;
  wireC: string;
  sun: Sun | '';
  /** Which chart turns the gauge's scale into newtons; empty where it shows newtons. */
  chart: string;
  /** The wires are brought up in one pass, in the order that asks for least, not in even passes. */
  inOne?: boolean;
  /** Somebody said that no temperature was read: none is recorded, and none is asked for again in this round. */
  unread?: boolean;
  /** The local day of which temperatures, sun and `unread` were told: on another they say nothing. */
  day?: string;
  /** The wire at which the round was left. */
  at?: number;
}

/** Gauge, bay and chart stay; what was told of air, wire and sun is asked again, and the wires are gone over from the first. */
function askedAgain(round: Round): Round {
  const { unread: _, at: __, ...stays } = round;
  return { ...stays, airC: '', wireC: '', sun: '' };
}

/** The round as it is on this day: a temperature of another day is none of its readings. */
export function onDay(round: Round, day: string): Round {
  return round.day === day ? round : { ...askedAgain(round), day };
}

/** The round in this stage: what was told of the air and the wire in another is asked again. */
export function inStage(round: Round, stage: Round['stage']): Round {
  return round.stage === stage ? round : { ...askedAgain(round), stage };
}

/** The round as an address asks for it: in its stage, and in a bay that the run has. */
export function askedFor(round: Round, run: Run | undefined, stage: string, bay: string): Round {
  const there = stage === 'pass' || stage === 'final' || stage === 'recheck' ? inStage(round, stage) : round;
  return run?.bays.some((b) => b.place === bay) ? { ...there, bay } : there;
}

/** Under which name this device keeps what was set for a run's round. */
export const roundKey = (run: string): string => `round-${run}`;

/** What readings are held against; before anything is decided, what the table asks. */
export function neededN(read: Run['read']): number | undefined {
  return read?.mustShowN ?? read?.askedN ?? undefined;
}

/** Whether a wire was turned since the reading that still governs it, to where that bay is to be read before anything more is turned. */
export function turnedSince(run: Run, wire: number): boolean {
  return run.read?.lines.find((l) => l.wire === wire)?.readThere === true;
}

/** Readings of this round that count: same stage, same pass, same bay. */
export function inRound(wire: Wire, round: Round): Reading[] {
  return readings(wire).filter((r) => counts(r) && r.stage === round.stage && r.place === round.bay && (round.stage !== 'pass' || r.pass === round.pass));
}

export interface Row {
  wire: number;
  newtons?: number;
  /** As the program holds that very reading against what is asked; `open` on the way up, where it lies below by design; `over` above what nothing may exceed, in every pass. */
  state: ReadingState | 'over' | '';
}

/** Whether the round is a pass on the way up: another one, at a higher tension, is decided to come after it. */
export function onTheWay(run: Run, round: Round): boolean {
  return round.stage === 'pass' && round.pass < (run.read?.passesN.length ?? 0);
}

/** How many passes can be picked: those that are decided and one more, or as many as are planned, and any that was begun. */
export function passKeys(run: Run, round: Pick<Round, 'pass'>, planned = 0): number {
  const begun = run.wires.flatMap(readings).map((r) => (r.stage === 'pass' ? (r.pass ?? 1) : 0));
  return Math.max(1 + Math.max(run.read?.passesN.length ?? 0, 1), planned, round.pass, ...begun);
}

/** What the round tensions to: its own pass's figure, else the set tension. */
export function aimOf(run: Run, round: Round): number | undefined {
  const pass = round.stage === 'pass' ? run.read?.passesN[round.pass - 1] : undefined;
  return pass ?? run.read?.setN ?? undefined;
}

/** Least reading that is clear of what is required on the round's own gauge; that of the counted one while none is chosen. */
export function clearFromOf(run: Run, round: Round): number | undefined {
  const own = run.read?.gauges.find((g) => g.tool === round.gauge);
  return (own ? own.clearFromN : run.read?.clearFromN) ?? undefined;
}

/** The most that the round's gauge may show without a wire being over what nothing may exceed. */
export function mostShownOf(run: Run, round: Round): number | undefined {
  const own = run.read?.gauges.find((g) => g.tool === round.gauge);
  return (own ? own.mostShownN : run.read?.mostShownN) ?? undefined;
}

/** The round's last reading of each wire, and how the program says that it stands. */
export function rowsOf(run: Run, round: Round): Row[] {
  return run.wires.map((wire): Row => {
    const last = inRound(wire, round).at(-1);
    if (!last) return { wire: wire.number, state: '' };
    const told = lineOf(run, wire)?.readings.find((r) => r.entry === last.known.tips[0]?.claim);
    const state = told?.over ? 'over' : onTheWay(run, round) ? 'open' : (told?.state ?? 'open');
    return { wire: wire.number, newtons: last.newtons, state };
  });
}

/** What stands on a wire's key in a round: one that is to be read again says that, also where it was read in this round. */
export function signIn(rows: Row[], due: number[], wire: number): 'readAgain' | 'read' | 'none' {
  if (due.includes(wire)) return 'readAgain';
  return rows.some((row) => row.wire === wire && row.newtons !== undefined) ? 'read' : 'none';
}

/** Wires that are not there to be tensioned: not cut, in a run whose wires are ticked as they are made. */
export function notThere(run: Run): Wire[] {
  const there = (w: Wire) => cutOf(w) !== undefined || doneOf(w, 'fitted') || readings(w).length > 0;
  const ticking = run.wires.some((w) => cutOf(w) !== undefined || doneOf(w, 'fitted'));
  return ticking ? run.wires.filter((w) => !there(w)) : [];
}

/** The next wire without a reading in this round, from `from` on and then round: in the order given, else upwards. Those ticked as fitted go first, since a wire that is not can't be read; one whose tick was forgotten follows. None is asked for before it is cut. */
export function nextWire(run: Run, round: Round, from = 0, order: number[] = []): Wire | undefined {
  const place = (wire: number) => (order.length > 0 ? order.indexOf(wire) : wire);
  const away = notThere(run);
  const open = run.wires.filter((w) => w.number !== from && !away.includes(w) && inRound(w, round).length === 0).sort((a, b) => place(a.number) - place(b.number));
  const behind = (w: Wire) => from === 0 || place(w.number) > place(from);
  const fitted = open.filter((w) => doneOf(w, 'fitted'));
  return fitted.find(behind) ?? fitted[0] ?? open.find(behind) ?? open[0];
}

/** Where the run's last reading left off: its stage, pass, gauge and bay. Temperatures are read anew. */
export function lastRound(run: Run): Partial<Round> {
  const all = run.wires.flatMap(readings).filter(counts).sort((a, b) => (a.known.tips[0]?.at.ms ?? 0) - (b.known.tips[0]?.at.ms ?? 0));
  const last = all.at(-1);
  if (!last || !isStage(last.stage)) return {};
  const gauge = last.known.tips[0]?.context.gauge;
  return { stage: last.stage, pass: last.pass ?? 1, bay: last.place, ...(typeof gauge === 'string' ? { gauge } : {}) };
}

const isStage = (stage: string): stage is Round['stage'] => stage === 'pass' || stage === 'final' || stage === 'recheck';

/** What every reading of the round carries; never a temperature of another day. */
export function roundSet(kept: Round, day = today()): RoundSet {
  const round = onDay(kept, day);
  const set: RoundSet = { bay: round.bay, stage: round.stage };
  if (round.stage === 'pass') set.pass = round.pass;
  if (round.gauge) set.gauge = round.gauge;
  if (round.chart?.trim()) set.chart = round.chart.trim();
  if (round.airC.trim()) set.air = plainDigits(round.airC).trim();
  if (round.wireC.trim()) set.wireTemperature = plainDigits(round.wireC).trim();
  if (round.sun) set.sun = round.sun;
  return set;
}

/** What the program takes as a temperature, in degrees Celsius; it asks within that about what no day is like. */
const [COLDEST, HOTTEST] = [-60, 90];

/** Says at once that a temperature can't be one; nothing where it can, or is not typed. */
export function noTemperature(text: string): string {
  const c = parseNumber(plainDigits(text));
  return c !== undefined && (c < COLDEST || c > HOTTEST) ? words.tension.noDegrees(COLDEST, HOTTEST) : '';
}

/** What is missing before the round can begin, by the name of the field. */
export function missingOf(round: Round): string[] {
  const lacks: string[] = [];
  if (!round.bay) lacks.push('bay');
  if (!round.gauge) lacks.push('gauge');
  const [air, wire] = [round.airC, round.wireC].map((t) => (noTemperature(t) ? undefined : parseNumber(plainDigits(t))));
  if (!round.unread && air === undefined && wire === undefined) lacks.push('temperature');
  return lacks;
}

/** Bays that are to be read and were not in the newest round, with the wires; the program says which. */
export function unreadBays(run: Run): { bay: string; place?: string; wires: number[] }[] {
  const read = run.read;
  if (!read) return [];
  const lines = read.lines.filter((l) => l.lastFinal !== null || l.lastRecheck !== null || l.heldByDeflection !== null);
  return read.toRead
    .map((bay) => ({ bay, place: run.bays.find((b) => b.name === bay)?.place, wires: lines.filter((l) => l.notRead.includes(bay)).map((l) => l.wire) }))
    .filter((u) => u.wires.length > 0);
}

/** Bays that are to be read, the widest first. */
export function baysToRead(run: Run): Bay[] {
  return (run.read?.toRead ?? []).flatMap((name) => run.bays.filter((b) => b.name === name));
}

/** Where the round goes on once every wire is read in its bay: in the next bay that is to be read and was not. */
export function nextBay(run: Run, round: Round): { bay: string; place: string } | undefined {
  if (onTheWay(run, round)) return undefined;
  return unreadBays(run).flatMap(({ bay, place }) => (place !== undefined && place !== round.bay ? [{ bay, place }] : []))[0];
}

/** The wire at which the round was left and is taken up again: one that it has no reading of. */
export function leftAtWire(run: Run, round: Round): Wire | undefined {
  const away = notThere(run);
  return round.inOne ? undefined : run.wires.find((w) => w.number === round.at && !away.includes(w) && inRound(w, round).length === 0);
}

/** Wires that the hung mass shows in every bay to read, with no final reading by a gauge. */
export function heldByMass(run: Run): number[] {
  return (run.read?.lines ?? []).filter((l) => l.heldByDeflection !== null && l.lastFinal === null && l.lastRecheck === null).map((l) => l.wire);
}
