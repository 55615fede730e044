// The name of a post added between two others: numbers never move, a letter is added. Pure.

/** `A4` → `A4a`, or the next free letter. */
export function nextLetter(left: string, taken: string[]): string {
  const stem = left.replace(/[a-z]$/, '');
  for (const letter of 'abcdefghijklmnopqrstuvwxyz') {
    if (!taken.includes(stem + letter)) return stem + letter;
  }
  return `${stem}z2`;
}
