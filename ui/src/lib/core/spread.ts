// Labels beside each other on one line that may not touch. Pure.

/** Middles of labels of these widths, moved as little as needed so that `gap` lies between them; within `from` and `to` as far as they fit. */
export function spread(middles: number[], widths: number[], gap: number, from: number, to: number): number[] {
  const order = middles.map((_, i) => i).sort((a, b) => (middles[a] ?? 0) - (middles[b] ?? 0));
  const width = (i: number | undefined) => (i === undefined ? 0 : (widths[i] ?? 0));
  const at = [...middles];
  const apart = (left: number, right: number) => (width(left) + width(right)) / 2 + gap;
  order.forEach((i, n) => {
    const before = order[n - 1];
    const least = before === undefined ? from + width(i) / 2 : (at[before] ?? 0) + apart(before, i);
    at[i] = Math.max(at[i] ?? 0, least);
  });
  for (let n = order.length - 1; n >= 0; n -= 1) {
    const [i, after] = [order[n] ?? 0, order[n + 1]];
    const most = after === undefined ? to - width(i) / 2 : (at[after] ?? 0) - apart(i, after);
    at[i] = Math.min(at[i] ?? 0, most);
  }
  return at;
}
