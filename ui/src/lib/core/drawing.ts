// From a run's shapes (millimetres, y down) to places on screen. Pure; the component only draws what this says.
import { bareLength } from './format.svelte';
import { NM_PER_MM, type LengthUnit } from './length';

interface Common {
  role: string;
  subject?: string | null;
  state?: string | null;
}
export type Shape =
  | (Common & { kind: 'line'; x1: number; y1: number; x2: number; y2: number })
  | (Common & { kind: 'text'; x: number; y: number; text: string; anchor: string; size?: number | null })
  | (Common & { kind: 'mark'; x: number; y: number; mark: string })
  | (Common & { kind: 'box'; x: number; y: number; w: number; h: number });

export interface Shapes {
  shapes: Shape[];
  width: number;
  height: number;
}

export interface Scale {
  sx: number;
  sy: number;
  /** Pixels left free round the drawing. */
  rim: number;
  /** Where posts and lines begin and end, in mm. */
  from: number;
  to: number;
  /** Places of figures that stand outside, in mm: they get columns of their own, however squeezed the run is. */
  before: number[];
  after: number[];
}

/** Pixels for a column of figures beside the run. */
const COLUMN = 17;

/** What a run stands on. */
const GROUND = new Set(['floor', 'stair']);

/** Space kept round the drawing, in pixels. */
export const RIM = 14;

/**
 * Scale for a frame `wide` pixels wide. `whole` squeezes a long run along the line so that all of it is seen;
 * otherwise both ways share one scale, `zoom` times the height that fits.
 */
export function scaleFor(d: Shapes, wide: number, tall: number, whole: boolean, zoom: number): Scale {
  // Floor and steps reach beyond the run: where there are posts, the figures of wires stand clear of them.
  const posts = d.shapes.some((s) => s.role === 'post');
  const ends = posts ? d.shapes.filter((s) => !GROUND.has(s.role)) : d.shapes;
  const solid = ends.flatMap((s) => (s.kind === 'line' ? [s.x1, s.x2] : s.kind === 'box' ? [s.x, s.x + s.w] : []));
  const from = solid.length > 0 ? Math.min(...solid) : 0;
  const to = solid.length > 0 ? Math.max(...solid) : d.width;
  const outside = d.shapes.flatMap((s) => ((s.kind === 'text' || s.kind === 'mark') && (s.x < from || s.x > to) && (!posts || s.subject?.startsWith('wire:')) ? [Math.round(s.x)] : []));
  const columns = [...new Set(outside)].sort((x, y) => x - y);
  const before = columns.filter((x) => x < from);
  const after = columns.filter((x) => x > to);
  const sy = ((tall - 2 * RIM) / Math.max(d.height, 1)) * zoom;
  // A frame that is not laid out yet has no width; nothing is drawn backwards for it.
  const fit = Math.max(wide - 2 * RIM - (before.length + after.length) * COLUMN, 1) / Math.max(to - from, 1);
  // Never stretched: a short run keeps its proportions.
  const sx = whole ? Math.min(fit * zoom, sy) : sy;
  return { sx, sy, rim: RIM, from, to, before, after };
}

/** Which column beside the run a figure stands in: below zero before it, above zero after it, none where it stands at its place. */
export function columnOf(scale: Scale, mm: number): number {
  if (mm > scale.to) return scale.after.indexOf(Math.round(mm)) + 1;
  if (mm < scale.from) return -(scale.before.indexOf(Math.round(mm)) + 1);
  return 0;
}

/** Pixels along the line for a place in mm; figures outside stand in their columns. */
export function xOf(scale: Scale, mm: number, figure = false): number {
  const start = scale.rim + scale.before.length * COLUMN;
  const end = start + (scale.to - scale.from) * scale.sx;
  const column = figure ? columnOf(scale, mm) : 0;
  if (column > 0) return end + 8 + (column - 0.6) * COLUMN;
  if (column < 0) return scale.rim + (-column - 0.6) * COLUMN;
  return start + (mm - scale.from) * scale.sx;
}

/** How wide the drawing is in pixels. */
export function widthOf(scale: Scale): number {
  return xOf(scale, scale.to) + scale.after.length * COLUMN + scale.rim;
}

/** Pixels between two lines of figures that can still be read. */
const LEAST_GAP = 12.5;

/** Figures of wires that stand closer than they can be read are thinned out; what needs attention stays. */
export function readable(d: Shapes, scale: Scale, selected: string): Shape[] {
  const isFigure = (s: Shape) => (s.kind === 'text' || s.kind === 'mark') && s.subject?.startsWith('wire:') === true;
  const ys = [...new Set(d.shapes.flatMap((s) => (isFigure(s) && s.kind === 'text' ? [s.y * scale.sy] : [])))].sort((a, b) => a - b);
  const gap = Math.min(...ys.slice(1).map((y, i) => y - (ys[i] ?? 0)));
  const every = Number.isFinite(gap) && gap > 0 ? Math.ceil(LEAST_GAP / gap) : 1;
  const isLoud = (s: Shape) => ['over', 'below', 'rejected', 'thread', 'disputed', 'newer'].includes(s.state ?? '') || s.subject === selected;
  const figures = d.shapes.filter((s): s is Shape & { y: number } => isFigure(s) && 'y' in s);
  const loudAt = figures.filter(isLoud).map((s) => s.y * scale.sy);
  return d.shapes.filter((s) => {
    if (every === 1 || !isFigure(s) || isLoud(s)) return true;
    const number = Number(s.subject?.split(':')[2]);
    const y = 'y' in s ? s.y * scale.sy : 0;
    return (number - 1) % every === 0 && loudAt.every((l) => Math.abs(l - y) >= LEAST_GAP);
  });
}

/** Pixels that a post's name and a bay's sign need along the line. */
const NAME_WIDE = 30;

/** Whether posts stand so close that their names need smaller letters. */
export function crowded(d: Shapes, scale: Scale): boolean {
  const xs = d.shapes.flatMap((s) => (s.kind === 'text' && s.role === 'postName' ? [s.x * scale.sx] : [])).sort((a, b) => a - b);
  return xs.slice(1).some((x, i) => x - (xs[i] ?? 0) < NAME_WIDE);
}

/** Pixels of one letter of a post's name, of small ones where posts stand close. */
const NAME_LETTER = 6.4;

/** Names of posts that would run into each other are thinned out; the first, the last, the one selected and those that people differ on stay. */
export function namesApart(d: Shapes, scale: Scale, selected: string): Shapes {
  const names = d.shapes
    .flatMap((s) => (s.kind === 'text' && s.role === 'postName' ? [{ subject: s.subject ?? '', loud: s.state === 'disputed' || s.state === 'newer', x: s.x * scale.sx, half: (s.text.length * NAME_LETTER) / 2 + 2 }] : []))
    .sort((a, b) => a.x - b.x);
  const stays = (n: (typeof names)[number], i: number) => i === 0 || i === names.length - 1 || n.loud || n.subject === selected;
  const kept = names.filter(stays);
  for (const name of names) {
    if (!kept.includes(name) && kept.every((k) => Math.abs(k.x - name.x) >= k.half + name.half)) kept.push(name);
  }
  const left = new Set(kept.map((k) => k.subject));
  return { ...d, shapes: d.shapes.filter((s) => s.kind !== 'text' || s.role !== 'postName' || left.has(s.subject ?? '')) };
}

/** Pixels of one letter of a figure. */
const LETTER_WIDE = 7.6;

/** Figures that belong to a bay, and how wide a letter of each is: a low spot's are smaller and may reach a little into the next bay. */
const OF_BAY: Record<string, number> = { bayLength: LETTER_WIDE, lowSpot: 0.7 * LETTER_WIDE };

/** Without the signs and figures of bays too narrow for them; a probe that passed always shows. */
export function uncrowded(d: Shapes, scale: Scale): Shapes {
  const wide = new Map(d.shapes.flatMap((s) => (s.kind === 'box' && s.role === 'bay' && s.subject ? [[s.subject, s.w * scale.sx] as const] : [])));
  const fits = (s: Shape) => s.kind !== 'mark' || s.role !== 'bay' || s.state === 'passes' || s.state === 'disputed' || s.state === 'newer' || (wide.get(s.subject ?? '') ?? NAME_WIDE) >= NAME_WIDE;
  const hasRoom = (s: Shape) => s.kind !== 'text' || (wide.get(s.subject ?? '') ?? Infinity) >= s.text.length * (OF_BAY[s.role] ?? 0);
  return { ...d, shapes: d.shapes.filter((s) => fits(s) && hasRoom(s)) };
}

/** Figures that are lengths, in millimetres as the program draws them. */
const LENGTHS = new Set(['bayLength', 'floorLevel', 'lowSpot', 'height', 'opening']);

/** The drawing with its lengths in the unit that the person reads: `(1410)` is `(55 1/2)`. */
export function inUnit(d: Shapes, unit: LengthUnit): Shapes {
  if (unit === 'mm') return d;
  const inches = (text: string) => text.replace(/[-−]?\d+(\.\d+)?/g, (mm) => bareLength(Number(mm.replace('−', '-')) * NM_PER_MM, unit));
  return { ...d, shapes: d.shapes.map((s) => (s.kind === 'text' && LENGTHS.has(s.role) ? { ...s, text: inches(s.text) } : s)) };
}

/** Roles that are no thing of their own but stand behind everything. */
const BEHIND = new Set(['bay', 'floor', 'stair', 'nosing', 'rail', 'wall', 'dimension']);

/** Figures that a small drawing leaves out. */
const FINE = new Set(['floorLevel', 'dimension', 'end', 'height', 'opening']);

/** The drawing without its finer figures, and no taller than what is left. */
export function coarse(d: Shapes): Shapes {
  // An opening that a probe passed, or that people differ on, is drawn however small the drawing is.
  const loud = (s: Shape) => s.role === 'opening' && (s.state === 'passes' || s.state === 'disputed');
  const shapes = d.shapes.filter((s) => !FINE.has(s.role) || loud(s));
  const top = Math.min(...shapes.map(topOf));
  const bottom = Math.max(...shapes.map((s) => (s.kind === 'box' ? s.y + s.h : s.kind === 'line' ? Math.max(s.y1, s.y2) : s.y)));
  if (!Number.isFinite(top) || !Number.isFinite(bottom)) return d;
  return { ...d, shapes: shapes.map((s) => (s.kind === 'line' ? { ...s, y1: s.y1 - top, y2: s.y2 - top } : { ...s, y: s.y - top })), height: bottom - top };
}

function topOf(s: Shape): number {
  return s.kind === 'line' ? Math.min(s.y1, s.y2) : s.y;
}

/** Drawing order: background, wires, posts, figures, marks. */
export function inOrder(shapes: Shape[]): Shape[] {
  const rank = (s: Shape) => (s.kind === 'text' ? 3 : s.kind === 'mark' ? 4 : BEHIND.has(s.role) ? 0 : s.role === 'post' ? 2 : 1);
  return [...shapes].sort((a, b) => rank(a) - rank(b));
}

export interface Box {
  x: number;
  y: number;
  w: number;
  h: number;
}

/** One thing that can be touched, with the box that holds all of its shapes, in pixels. */
export interface Thing {
  subject: string;
  role: string;
  state: string;
  box: Box;
}

const THINGS = new Set(['wire', 'post', 'bay']);

/**
 * Every subject once. Its box is its name or number where that is drawn: there nothing crosses it,
 * while posts, wires and bays themselves lie over one another.
 */
export function thingsOf(d: Shapes, scale: Scale): Thing[] {
  const found = new Map<string, Thing>();
  const named = new Set(d.shapes.flatMap((s) => (s.kind === 'text' && s.subject ? [s.subject] : [])));
  for (const shape of d.shapes) {
    if (!shape.subject) continue;
    if (shape.kind !== 'text' && named.has(shape.subject)) continue;
    const box = touchBox(shape, scale);
    const thing = found.get(shape.subject);
    if (!thing) {
      found.set(shape.subject, { subject: shape.subject, role: shape.role, state: shape.state ?? 'none', box });
      continue;
    }
    if (named.has(shape.subject)) continue;
    thing.box = around(thing.box, box);
    if (THINGS.has(shape.role) && !THINGS.has(thing.role)) thing.role = shape.role;
    if (shape.state && thing.state === 'none') thing.state = shape.state;
  }
  return [...found.values()];
}

/** A figure's box is low enough not to reach over its neighbour; a thing's own shape gets a rim. */
function touchBox(shape: Shape, scale: Scale): Box {
  const box = boxOf(shape, scale);
  if (shape.kind === 'text') return { x: box.x - 4, y: box.y + 4, w: box.w + 8, h: 12 };
  return { x: box.x - 4, y: box.y - 5, w: box.w + 8, h: box.h + 10 };
}

function boxOf(shape: Shape, scale: Scale): Box {
  const { sx, sy, rim } = scale;
  if (shape.kind === 'line') {
    const y = Math.min(shape.y1, shape.y2) * sy + rim;
    return { x: xOf(scale, Math.min(shape.x1, shape.x2)), y, w: Math.abs(shape.x2 - shape.x1) * sx, h: Math.abs(shape.y2 - shape.y1) * sy };
  }
  if (shape.kind === 'box') return { x: xOf(scale, shape.x), y: shape.y * sy + rim, w: shape.w * sx, h: shape.h * sy };
  return { x: xOf(scale, shape.x, true) - 10, y: shape.y * sy + rim - 10, w: 20, h: 20 };
}

function around(a: Box, b: Box): Box {
  const x = Math.min(a.x, b.x);
  const y = Math.min(a.y, b.y);
  return { x, y, w: Math.max(a.x + a.w, b.x + b.w) - x, h: Math.max(a.y + a.h, b.y + b.h) - y };
}

/** How far a touch may miss, in pixels: half a gloved fingertip. */
const MISS = 22;

/** The thing meant by a touch: a post's own width wins, then the nearest shape within reach. */
export function touched(d: Shapes, scale: Scale, x: number, y: number): string | undefined {
  let best: string | undefined;
  let least = MISS;
  for (const shape of d.shapes) {
    if (!shape.subject) continue;
    // Where things cross, the finer one is meant: a wire before its post, both before the bay behind them.
    const behind = shape.kind !== 'box' ? 0 : shape.role === 'bay' ? 14 : 4;
    const away = distance(shape, scale, x, y) + behind;
    if (away < least) {
      least = away;
      best = shape.subject;
    }
  }
  return best;
}

/** Wires within reach of a touch: from two on a finger can't tell which of them is meant. */
export function wiresNear(d: Shapes, scale: Scale, x: number, y: number): number {
  return new Set(d.shapes.flatMap((s) => (s.role === 'wire' && s.kind === 'line' && distance(s, scale, x, y) < MISS ? [s.subject] : []))).size;
}

/** Two fingers: how far they are apart and where their middle is. */
export interface Fingers {
  apart: number;
  x: number;
  y: number;
}

export function fingersOf(a: { x: number; y: number }, b: { x: number; y: number }): Fingers {
  return { apart: Math.max(1, Math.hypot(a.x - b.x, a.y - b.y)), x: (a.x + b.x) / 2, y: (a.y + b.y) / 2 };
}

/** How far a drawing is drawn closer at most. */
export const CLOSEST = 5;

/** The zoom times a factor, within what the drawing allows. */
export function zoomBy(zoom: number, factor: number): number {
  return Math.min(CLOSEST, Math.max(1, zoom * factor));
}

/** Where a place of the drawing lies once its scale has changed, in pixels: what the fingers hold stays under them. */
export function movedTo(before: Scale, after: Scale, x: number, y: number): { x: number; y: number } {
  const start = xOf(before, before.from);
  const end = xOf(before, before.to);
  const along = x <= start ? x : x >= end ? xOf(after, after.to) + x - end : xOf(after, after.from) + ((x - start) / before.sx) * after.sx;
  return { x: along, y: ((y - before.rim) / before.sy) * after.sy + after.rim };
}

function distance(shape: Shape, scale: Scale, x: number, y: number): number {
  if (shape.kind === 'line') {
    const { sy, rim } = scale;
    return toLine(x, y, xOf(scale, shape.x1), shape.y1 * sy + rim, xOf(scale, shape.x2), shape.y2 * sy + rim);
  }
  const b = boxOf(shape, scale);
  return Math.hypot(Math.max(b.x - x, 0, x - b.x - b.w), Math.max(b.y - y, 0, y - b.y - b.h));
}

function toLine(x: number, y: number, x1: number, y1: number, x2: number, y2: number): number {
  const long = (x2 - x1) ** 2 + (y2 - y1) ** 2;
  const t = long === 0 ? 0 : Math.min(1, Math.max(0, ((x - x1) * (x2 - x1) + (y - y1) * (y2 - y1)) / long));
  return Math.hypot(x - x1 - t * (x2 - x1), y - y1 - t * (y2 - y1));
}
