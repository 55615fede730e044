// Numbers as people write them: 1–4, 7. Pure.

/** Whole numbers in rising order, those that follow one another as a span. */
export function spans(numbers: readonly number[]): string {
  const sorted = [...new Set(numbers)].sort((a, b) => a - b);
  const found: [number, number][] = [];
  for (const n of sorted) {
    const last = found.at(-1);
    if (last && last[1] + 1 === n) last[1] = n;
    else found.push([n, n]);
  }
  return found.map(([from, to]) => (from === to ? String(from) : `${from}–${to}`)).join(', ');
}

/** The numbers that people mean by “1–12”, “3, 7-9” or “9 to 7”, in rising order; nothing where it does not read so. */
export function readSpans(text: string): number[] | undefined {
  const parts = text.split(/[,;]/).map((part) => part.trim()).filter(Boolean);
  const found = new Set<number>();
  for (const part of parts) {
    const read = /^(\d{1,3})(?:\s*(?:[-–—]|to)\s*(\d{1,3}))?$/i.exec(part);
    if (!read) return undefined;
    const [from, to] = [Number(read[1]), Number(read[2] ?? read[1])];
    for (const n of between(from, to)) found.add(n);
  }
  return parts.length === 0 ? undefined : [...found].sort((a, b) => a - b);
}

/** All from one to the other, whichever is named first. */
export function between(a: number, b: number): number[] {
  const [from, to] = [Math.min(a, b), Math.max(a, b)];
  return Array.from({ length: to - from + 1 }, (_, i) => from + i);
}
