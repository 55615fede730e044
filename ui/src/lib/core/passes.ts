// Steps on the way to a set tension, as a form offers them. Pure.

/** Shares of the set tension at which a run is stepped through; common practice, changed freely by the person. */
const ON_THE_WAY = [0.4, 0.73];
/** Steps on the way are round figures, since they are only approached. */
const ROUND_N = 50;

/** Passes in newtons, rising; the last one is the set tension itself, never rounded away from it. */
export function passesTo(setN: number): number[] {
  const rounded = ON_THE_WAY.map((share) => Math.round((share * setN) / ROUND_N) * ROUND_N);
  return [...new Set(rounded.filter((n) => n > 0 && n < setN)), setN];
}
