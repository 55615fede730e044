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
