// What the measurements of the screens share: large surveys, and how times are told.

/** A survey of `runs` level runs, each with its own posts. */
export function survey(runs, bays, wires) {
  const made = Array.from({ length: runs }, (_, i) => run(`L${i + 1}`, bays, wires));
  const posts = made.flatMap(({ posts }) => posts.map(({ post }) => ({ name: post, section: { along: 90, across: 90 } })));
  return { format: 1, job: { title: 'A long job', place: 'Port Hesper' }, runs: made, posts };
}

function run(name, bays, wires) {
  const posts = Array.from({ length: bays + 1 }, (_, i) => ({
    post: `${name}-${i + 1}`,
    position: i * 1400,
    role: i === 0 || i === bays ? 'anchor' : 'intermediate',
    ...(i === 0 || i === bays ? { end: { kind: 'insert', hand: i === 0 ? 'LH' : 'RH', tensioner: true, angledSeat: false } } : {})
  }));
  return { name, surface: 'deck', shape: 'level', height: 2040, rail: { underside: 2005, thickness: 35 }, wires: { count: wires, bottom: 76, pitch: 76 }, strand: '3.2-1x19-worked', fittingSet: 'm6-insert-worked', followsFloor: true, railFollowsFloor: true, posts };
}

/** Median, the 95th of a hundred and the most, in milliseconds. */
export function told(times) {
  const sorted = [...times].sort((a, b) => a - b);
  const at = (share) => Number((sorted[Math.floor((sorted.length - 1) * share)] ?? 0).toFixed(1));
  return { median: at(0.5), p95: at(0.95), most: at(1), of: sorted.length };
}
