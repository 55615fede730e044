// Figures as keyboards of other scripts type them. The record, its sorting and its paper hold one kind of digits.

/** The zeros of what keyboards type: Arabic, Persian, Devanagari, Bengali, full width; nine more stand behind each (Unicode, decimal digits). */
const ZEROS = [0x0660, 0x06f0, 0x0966, 0x09e6, 0xff10];
/** Marks of direction, which a locale writes around a minus and a keyboard beside a figure: nobody sees them. */
const UNSEEN = /[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]/g;
/** The Arabic decimal sign. */
const DECIMAL = /\u066b/g;
const OTHERS = new RegExp(`[${ZEROS.map((zero) => `${String.fromCodePoint(zero)}-${String.fromCodePoint(zero + 9)}`).join('')}]`, 'g');

/** The same figures in the digits 0 to 9. */
export function plainDigits(text: string): string {
  const plain = (digit: string) => {
    const at = digit.charCodeAt(0);
    return String(at - (ZEROS.findLast((zero) => zero <= at) ?? at));
  };
  return withoutMarks(text).replace(DECIMAL, '.').replace(OTHERS, plain);
}

/** A text without marks of direction. */
export function withoutMarks(text: string): string {
  return text.replace(UNSEEN, '');
}
