// The screen stays awake while somebody works at it, where the device can be asked for that.
// The device lets go by itself as the page leaves the screen, so it is asked again when the page is back.

/** Keeps the screen awake from now on; call what it answers to let it sleep again. Never fails. */
export function stayAwake(): () => void {
  const device = typeof navigator === 'undefined' ? undefined : (navigator as { wakeLock?: WakeLock }).wakeLock;
  if (!device) return () => undefined;
  let wanted = true;
  let asking = false;
  let held: WakeLockSentinel | undefined;
  const seen = () => document.visibilityState === 'visible';
  const letGo = () => {
    void held?.release().catch(() => undefined);
    held = undefined;
  };
  const take = async () => {
    if (!wanted || asking || held || !seen()) return;
    asking = true;
    // Refused while the battery is low: then the screen sleeps as it always did.
    const given = await device.request('screen').catch(() => undefined);
    asking = false;
    held = given;
    given?.addEventListener('release', () => {
      if (held === given) held = undefined;
    });
    // What came while nobody wanted it any more goes back at once.
    if (!wanted || !seen()) letGo();
  };
  const changed = () => (seen() ? void take() : letGo());
  document.addEventListener('visibilitychange', changed);
  void take();
  return () => {
    wanted = false;
    document.removeEventListener('visibilitychange', changed);
    letGo();
  };
}
