// Two touches on one button in one turn do one act: the second comes before the screen could show that the first was heard.

/** For one button: while what a touch began is not done, further touches on it do nothing. Steps that are done at once count each. */
export function oneAtATime<A extends unknown[]>(): (work: ((...given: A) => unknown) | undefined, ...given: A) => void {
  let running = false;
  return (work, ...given) => {
    if (running) return;
    const begun = work?.(...given);
    if (!(begun instanceof Promise)) return;
    running = true;
    const done = () => void (running = false);
    // Whoever handed the work in answers for its faults.
    begun.then(done, done);
  };
}
