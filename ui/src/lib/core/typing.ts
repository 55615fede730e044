// What comes from a keyboard, a measuring device that types, or a clipboard: all of it is shown, signs beyond the pad's keys are read
// by the grammar of lengths, and nothing is left out. Pure.
import { plainDigits } from './digits';
import { asTyped } from './format.svelte';
import { asSaid, parseLength, saysUnit, type LengthUnit } from './length';
import type { OtherUnit } from './odd';
import { entered, isLength, MOST_DIGITS, press, startPad, type PadDraft, type PadKey, type PadText } from './pad';

/** Longer than any number with its unit; what is longer is refused before it is read, so nothing is lost by typing no more of it. */
export const MOST_CHARACTERS = 200;

/** One character more. `signed` where a minus may stand before it. */
export function typeOne(text: PadText, typed: string, signed = false): PadText {
  if (text.written) return text.typed.length >= MOST_CHARACTERS ? text : { ...text, typed: text.typed + typed };
  if (/^\d$/.test(typed)) return digit(text, typed);
  if ((typed === '.' || typed === ',') && !text.typed.includes('.') && !text.sixteenths && !text.typed.endsWith(' ')) return press(text, { kind: 'point' });
  if (typed === '-' && signed && text.typed === '') return press(text, { kind: 'minus' });
  return write(text, typed);
}

function digit(text: PadText, typed: string): PadText {
  const all = text.typed.replace(/\D/g, '');
  if (all.length >= MOST_DIGITS) return write(text, typed);
  // A whole number with noughts before it, as some devices send it.
  if (text.lead !== '' && /^0\d*$/.test(text.typed) && text.typed.length >= text.free) return { ...text, lead: '', typed: text.typed + typed };
  return press(text, { kind: 'digit', digit: typed });
}

/** It stands as it is typed from here on: a lead is no part of it, and begun sixteenths go on as a fraction. */
function write(text: PadText, more: string): PadText {
  const before = text.sixteenths && more !== '/' ? entered(text) : text.typed;
  return { typed: before + more, lead: '', free: text.free, sixteenths: false, written: true };
}

/** What came down on the pad: a key of its own, a character, a whole value from a clipboard, or the wish to keep what stands. */
export type Stroke = PadKey | { kind: 'typed'; character: string } | { kind: 'pasted'; value: string } | { kind: 'enter' };

/** The words of strokes, to tell what was typed and found no place. */
export function toldStrokes(strokes: Stroke[]): string {
  return strokes.map((one) => (one.kind === 'typed' ? one.character : one.kind === 'digit' ? one.digit : one.kind === 'pasted' ? one.value : one.kind === 'point' ? '.' : '')).join('');
}

/** A whole value typed at once on an empty pad. */
export function typeAll(value: string, signed = false): PadText {
  return [...value.trim()].reduce((text, one) => typeOne(text, one, signed), startPad());
}

/** The character that a key brings, where it brings one. A dead key's mark would never come by itself: feet and inches stand on one. */
export function characterOf(event: Pick<KeyboardEvent, 'key' | 'code' | 'shiftKey'>): string | undefined {
  if (event.key === 'Dead') return event.code === 'Quote' ? (event.shiftKey ? '"' : "'") : '´';
  return [...event.key].length === 1 ? plainDigits(event.key) || undefined : undefined;
}

/** What a key of a keyboard is to a pad; nothing where it is for the page or the system. */
export function strokeOf(event: KeyboardEvent): Stroke | undefined {
  if ((event.ctrlKey || event.metaKey || event.altKey) && !event.getModifierState('AltGraph')) return undefined;
  if (event.key === 'Enter') return { kind: 'enter' };
  if (event.key === 'Backspace') return { kind: 'rub' };
  const character = characterOf(event);
  return character === undefined ? undefined : { kind: 'typed', character };
}

/** The number in the unit in which it would fit: as it would stand, the unit of its pad, and how long it would be. */
export function inOther(text: PadText, other: OtherUnit | undefined, unit: string): { as: PadText; unit: LengthUnit; nm: number } | undefined {
  const of = isLength(other) ? other : unit;
  if (!other || !isLength(of)) return undefined;
  const as = isLength(other) ? text : typeAll(`${entered(text)} ${other}`);
  const nm = parseLength(entered(as), of);
  return nm === undefined ? undefined : { as, unit: of, nm };
}

/** What was entered, with the unit that it is read in. */
export function toldIn(entered: string, unit: string): string {
  return isLength(unit) ? asSaid(asTyped(entered), unit) : `${asTyped(entered)} ${unit}`;
}

/** What is half typed: it goes on, so its unit stands apart. */
export function toldHalf({ text, unit }: PadDraft): string {
  const typed = entered(text);
  return isLength(unit) && saysUnit(typed) ? `${asTyped(typed)}…` : `${asTyped(typed)}… ${unit}`;
}
