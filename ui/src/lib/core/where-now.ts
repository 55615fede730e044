// Where the device is, if it says so. Optional always: refused, late or absent is an answer too.

export interface Where {
  latE7: number;
  lonE7: number;
  accuracyNm: number;
}

/** The position, or nothing when it is refused, unknown or not there within `patience` ms. Never fails. */
export function whereNow(patience: number): Promise<Where | undefined> {
  if (typeof navigator === 'undefined' || !('geolocation' in navigator)) return Promise.resolve(undefined);
  const asked = new Promise<Where | undefined>((answer) => {
    navigator.geolocation.getCurrentPosition(
      ({ coords }) =>
        answer({
          latE7: Math.round(coords.latitude * 1e7),
          lonE7: Math.round(coords.longitude * 1e7),
          accuracyNm: Math.round(coords.accuracy * 1e9)
        }),
      () => answer(undefined),
      { maximumAge: 120_000, timeout: patience }
    );
  });
  // The device's own time limit begins only when the permission was answered.
  return within(asked, patience);
}

/** What is there within so many milliseconds; nothing otherwise. */
export function within<T>(promise: Promise<T | undefined>, ms: number): Promise<T | undefined> {
  return Promise.race([promise, new Promise<undefined>((answer) => setTimeout(() => answer(undefined), ms))]);
}
