// Whether something is near what is seen: what takes long to draw waits until it is.

/** How far beyond the glass, in heights of it, things are made ready. */
const AHEAD = '100% 0px';

/** Says once that an element came near the glass; at once where the page can't tell. Answers how to stop waiting. */
export function onceNear(element: Element, then: () => void): (() => void) | undefined {
  if (typeof IntersectionObserver === 'undefined') {
    then();
    return undefined;
  }
  const watch = new IntersectionObserver(
    (seen) => {
      if (!seen.some((one) => one.isIntersecting)) return;
      watch.disconnect();
      then();
    },
    { rootMargin: AHEAD }
  );
  watch.observe(element);
  return () => watch.disconnect();
}
