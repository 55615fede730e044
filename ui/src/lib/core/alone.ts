// A card that fills the glass: what lies below it takes no touch, no key and no reader meanwhile. Notes that come and go stay.

/** Lets nothing but an element, and what holds it, be reached; answers how to end that. */
export function alone(card: HTMLElement): () => void {
  const stilled: HTMLElement[] = [];
  for (let at: HTMLElement = card; at.parentElement && at !== document.body; at = at.parentElement) {
    for (const other of at.parentElement.children) {
      if (other === at || !(other instanceof HTMLElement) || other.inert || other.matches('.toasts')) continue;
      other.inert = true;
      stilled.push(other);
    }
  }
  return () => stilled.forEach((other) => (other.inert = false));
}
