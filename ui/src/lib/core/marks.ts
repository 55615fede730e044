// Where marks on a picture lie: fingers and keys become thousandths of the upright picture, and thousandths lines. Pure.
import type { Mark } from '$lib/generated/api';

/** Thousandths of a picture's width and height, from its upper left corner. */
export interface Place {
  x: number;
  y: number;
}
export type Tool = Mark['kind'];

/** A part of the glass, in its pixels. */
export interface Box {
  left: number;
  top: number;
  width: number;
  height: number;
}

/** As the record has them. */
export const MOST_MARKS = 30;
export const MOST_LETTERS = 60;
const WHOLE = 1000;
/** Pixels of the glass below which a finger drew nothing: it trembled, or only touched. */
const LEAST_DRAG = 14;
/** Letters of a line of words; broad ones count for more. */
const LINE = 18;

const within = (n: number, least: number, most: number) => Math.min(Math.max(n, least), most);
/** A whole number, and never a minus nought. */
const whole = (n: number) => within(Math.round(n), 0, WHOLE) + 0;

/** Where a picture lies in a box that shows all of it. */
export function shownIn(box: Box, width: number, height: number): Box {
  const scale = Math.min(box.width / width, box.height / height);
  const [wide, high] = [width * scale, height * scale];
  return { left: box.left + (box.width - wide) / 2, top: box.top + (box.height - high) / 2, width: wide, height: high };
}

/** The place under a finger; beside the picture it is the nearest one on its edge. */
export function placeAt(picture: Box, x: number, y: number): Place {
  if (picture.width <= 0 || picture.height <= 0) return { x: WHOLE / 2, y: WHOLE / 2 };
  return { x: whole(((x - picture.left) / picture.width) * WHOLE), y: whole(((y - picture.top) / picture.height) * WHOLE) };
}

/** Whether a finger drew, or only touched. */
export function isDrag(picture: Box, from: Place, to: Place): boolean {
  return Math.hypot(((to.x - from.x) / WHOLE) * picture.width, ((to.y - from.y) / WHOLE) * picture.height) >= LEAST_DRAG;
}

/** The mark between two places; none where it would have no size. */
export function drawnMark(kind: 'arrow' | 'ring', from: Place, to: Place): Mark | undefined {
  const flat = kind === 'ring' ? from.x === to.x || from.y === to.y : from.x === to.x && from.y === to.y;
  return flat ? undefined : { kind, x: from.x, y: from.y, toX: to.x, toY: to.y };
}

/** Words as they are kept: on one line, no more of them than have room. None where there are none. */
export function wordsMark(at: Place, text: string): Mark | undefined {
  const told = [...text.trim().replace(/\s+/g, ' ')].slice(0, MOST_LETTERS).join('').trim();
  return told === '' ? undefined : { kind: 'text', x: at.x, y: at.y, text: told };
}

/** A place that an arrow key moves; none where the key moves nothing. */
export function moved(at: Place, key: string, fine: boolean): Place | undefined {
  const step = fine ? 5 : 25;
  const by = { ArrowLeft: [-step, 0], ArrowRight: [step, 0], ArrowUp: [0, -step], ArrowDown: [0, step] }[key];
  return by && { x: whole(at.x + (by[0] ?? 0)), y: whole(at.y + (by[1] ?? 0)) };
}

/** By what marks are drawn as thick and words as large as they are: a part of the picture, so that they look alike everywhere. */
export const unitOf = (width: number, height: number): number => Math.min(width / 20, height / 12);

/** An arrow's shaft and its head, in the picture's own pixels. */
export function arrowOf(from: Place, to: Place, width: number, height: number): { shaft: string; head: string } {
  const [x, y, tx, ty] = [from.x * width, from.y * height, to.x * width, to.y * height].map((n) => n / WHOLE) as [number, number, number, number];
  const long = Math.max(Math.hypot(tx - x, ty - y), 0.01);
  const [dx, dy] = [(tx - x) / long, (ty - y) / long];
  const head = Math.min(1.3 * unitOf(width, height), 0.6 * long);
  const wide = 0.46 * head;
  const [bx, by] = [tx - dx * head, ty - dy * head];
  return {
    shaft: `M${at(x, y)}L${at(bx, by)}`,
    head: `M${at(tx, ty)}L${at(bx - dy * wide, by + dx * wide)}L${at(bx + dy * wide, by - dx * wide)}Z`
  };
}
const at = (x: number, y: number) => `${round(x)} ${round(y)}`;
const round = (n: number) => Math.round(n * 100) / 100 + 0;

/** A ring within its two corners, in the picture's own pixels. */
export function ringOf(from: Place, to: Place, width: number, height: number): { cx: number; cy: number; rx: number; ry: number } {
  const [wide, high] = [width / WHOLE, height / WHOLE];
  return {
    cx: round(((from.x + to.x) / 2) * wide),
    cy: round(((from.y + to.y) / 2) * high),
    rx: round((Math.abs(to.x - from.x) / 2) * wide),
    ry: round((Math.abs(to.y - from.y) / 2) * high)
  };
}

export interface DrawnWords {
  x: number;
  size: number;
  anchor: 'start' | 'end';
  /** Each line with the height of its foot. */
  lines: { text: string; y: number }[];
}

/** Words towards the middle of the picture, in lines that stay on it. */
export function wordsOf(place: Place, text: string, width: number, height: number): DrawnWords {
  const unit = unitOf(width, height);
  const lines = brokenWords(text);
  const tall = lines.length * unit * 1.15;
  const top = within((place.y / WHOLE) * height - tall / 2, 0, Math.max(0, height - tall));
  return {
    x: round(within((place.x / WHOLE) * width, unit * 0.2, width - unit * 0.2)),
    size: round(unit),
    anchor: place.x > WHOLE / 2 ? 'end' : 'start',
    lines: lines.map((line, n) => ({ text: line, y: round(top + (n + 0.85) * unit * 1.15) }))
  };
}

/** Lines as long as have room on half a picture; a word that is longer is broken. */
export function brokenWords(text: string): string[] {
  const lines: string[] = [];
  let line = '';
  for (const word of text.split(/\s+/).filter(Boolean)) {
    if (line !== '' && broad(`${line} ${word}`) <= LINE) line += ` ${word}`;
    else {
      if (line !== '') lines.push(line);
      line = '';
      for (const letter of word) {
        if (broad(line + letter) > LINE) {
          lines.push(line);
          line = '';
        }
        line += letter;
      }
    }
  }
  return line === '' ? lines : [...lines, line];
}

/** How many letters a text is broad: capitals take half as much again, signs of East Asian scripts and pictures two. */
const broad = (text: string) => [...text].reduce((sum, letter) => sum + broadOf(letter), 0);
const broadOf = (letter: string) => ((letter.codePointAt(0) ?? 0) >= 0x1100 ? 2 : /[\p{Lu}mw@%]/u.test(letter) ? 1.5 : 1);
