// Fingers on a drawing: two draw it closer about their middle, one that is held looks through a lens; one that moves scrolls as ever.
import { fingersOf, type Fingers } from './drawing';

export interface Told {
  /** Two fingers moved: how they began and how they stand. */
  pinch: (began: Fingers, now: Fingers) => void;
  /** They were lifted. */
  settle: () => void;
  /** One finger is held here, in pixels of the glass; answers whether a lens stands over it. */
  hold: (x: number, y: number) => boolean;
  /** It was lifted; `picks` unless the system took the touch away. */
  letGo: (picks: boolean) => void;
}

/** Milliseconds after which a finger is held, and pixels that it may tremble till then. */
const HOLD = 260;
const SLIP = 9;

/** Listens on an element; answers how to stop. */
export function onFingers(on: HTMLElement, told: Told): () => void {
  let began: Fingers | undefined;
  let held = false;
  let from = { x: 0, y: 0 };
  let timer: ReturnType<typeof setTimeout> | undefined;
  const placesOf = (event: TouchEvent) => [...event.touches].map((t) => ({ x: t.clientX, y: t.clientY }));

  function letGo(picks: boolean) {
    clearTimeout(timer);
    if (held) told.letGo(picks);
    held = false;
  }
  function down(event: TouchEvent) {
    const [a, b] = placesOf(event);
    letGo(false);
    if (a && b) began = fingersOf(a, b);
    else if (a) {
      from = a;
      timer = setTimeout(() => (held = told.hold(a.x, a.y)), HOLD);
    }
  }
  function move(event: TouchEvent) {
    const [a, b] = placesOf(event);
    if (began && a && b) {
      event.preventDefault();
      told.pinch(began, fingersOf(a, b));
    } else if (held && a) {
      event.preventDefault();
      told.hold(a.x, a.y);
    } else if (a && Math.hypot(a.x - from.x, a.y - from.y) > SLIP) clearTimeout(timer);
  }
  function up(event: TouchEvent) {
    if (began && event.touches.length < 2) {
      began = undefined;
      told.settle();
    }
    // What the lens showed is picked; no click follows that could pick another.
    if (held && event.cancelable) event.preventDefault();
    letGo(event.type === 'touchend');
  }
  const still = (event: Event) => held && event.preventDefault();
  on.addEventListener('touchstart', down, { passive: true });
  on.addEventListener('touchmove', move, { passive: false });
  on.addEventListener('touchend', up, { passive: false });
  on.addEventListener('touchcancel', up);
  on.addEventListener('contextmenu', still);
  return () => {
    clearTimeout(timer);
    on.removeEventListener('touchstart', down);
    on.removeEventListener('touchmove', move);
    on.removeEventListener('touchend', up);
    on.removeEventListener('touchcancel', up);
    on.removeEventListener('contextmenu', still);
  };
}
