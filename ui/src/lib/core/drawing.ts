// From a run's shapes (millimetres, y down) to places on screen. Pure; the component only draws what this says.

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
  /** Pixels left free round the drawing for figures that overhang. */
  rim: number;
}

/** Space kept round the drawing, in pixels. */
export const RIM = 14;

/**
 * Scale for a frame `wide` pixels wide. `whole` squeezes a long run along the line so that all of it is seen;
 * otherwise both ways share one scale, `zoom` times the height that fits.
 */
export function scaleFor(d: Shapes, wide: number, tall: number, whole: boolean, zoom: number): Scale {
  const w = Math.max(d.width, 1);
  const h = Math.max(d.height, 1);
  const sy = (tall - 2 * RIM) / h;
  const fit = (wide - 2 * RIM) / w;
  if (!whole) return { sx: sy * zoom, sy: sy * zoom, rim: RIM };
  // Never stretched: a short run keeps its proportions.
  return { sx: Math.min(fit, sy) * zoom, sy: sy * zoom, rim: RIM };
}

/** Roles that are no thing of their own but stand behind everything. */
const BEHIND = new Set(['floor', 'ground', 'stair', 'rail']);

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

const THINGS = new Set(['wire', 'post', 'bay', 'bayLength']);

/** Every subject once, in reading order: posts and bays from the left, then wires from the bottom. */
export function thingsOf(d: Shapes, scale: Scale): Thing[] {
  const found = new Map<string, Thing>();
  for (const shape of d.shapes) {
    if (!shape.subject) continue;
    const box = boxOf(shape, scale);
    const thing = found.get(shape.subject);
    if (!thing) {
      found.set(shape.subject, { subject: shape.subject, role: shape.role, state: shape.state ?? 'none', box });
      continue;
    }
    thing.box = around(thing.box, box);
    if (THINGS.has(shape.role) && !THINGS.has(thing.role)) thing.role = shape.role;
    if (shape.state && thing.state === 'none') thing.state = shape.state;
  }
  return [...found.values()];
}

function boxOf(shape: Shape, { sx, sy, rim }: Scale): Box {
  if (shape.kind === 'line') {
    const x = Math.min(shape.x1, shape.x2) * sx + rim;
    const y = Math.min(shape.y1, shape.y2) * sy + rim;
    return { x, y, w: Math.abs(shape.x2 - shape.x1) * sx, h: Math.abs(shape.y2 - shape.y1) * sy };
  }
  if (shape.kind === 'box') return { x: shape.x * sx + rim, y: shape.y * sy + rim, w: shape.w * sx, h: shape.h * sy };
  return { x: shape.x * sx + rim - 10, y: shape.y * sy + rim - 10, w: 20, h: 20 };
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
    const away = distance(shape, scale, x, y) + (shape.role === 'post' && shape.kind === 'box' ? 4 : 0);
    if (away < least) {
      least = away;
      best = shape.subject;
    }
  }
  return best;
}

function distance(shape: Shape, scale: Scale, x: number, y: number): number {
  if (shape.kind === 'line') {
    const { sx, sy, rim } = scale;
    return toLine(x, y, shape.x1 * sx + rim, shape.y1 * sy + rim, shape.x2 * sx + rim, shape.y2 * sy + rim);
  }
  const b = boxOf(shape, scale);
  return Math.hypot(Math.max(b.x - x, 0, x - b.x - b.w), Math.max(b.y - y, 0, y - b.y - b.h));
}

function toLine(x: number, y: number, x1: number, y1: number, x2: number, y2: number): number {
  const long = (x2 - x1) ** 2 + (y2 - y1) ** 2;
  const t = long === 0 ? 0 : Math.min(1, Math.max(0, ((x - x1) * (x2 - x1) + (y - y1) * (y2 - y1)) / long));
  return Math.hypot(x - x1 - t * (x2 - x1), y - y1 - t * (y2 - y1));
}
