// The motion sensor of a phone, where the web view gives one, as a table that the program reads.
import { words } from '$lib/words';

export interface Moved {
  ms: number;
  x: number;
  y: number;
  z: number;
}

/** One sample a line: milliseconds and the acceleration of three axes; gaps stay as they were. */
export function motionTable(samples: Moved[]): string {
  const first = samples[0]?.ms ?? 0;
  const digits = (v: number, n: number) => (Number.isFinite(v) ? v.toFixed(n) : 'NaN');
  return ['ms;x;y;z', ...samples.map((s) => [digits(s.ms - first, 2), ...[s.x, s.y, s.z].map((v) => digits(v, 4))].join(';'))].join('\n');
}

interface Asks {
  requestPermission?: () => Promise<string>;
}

/** Whether the web view knows of motion; a desktop may know of it and never tell any. */
export function canFeel(): boolean {
  return typeof DeviceMotionEvent === 'function';
}

/** Feels so many seconds of motion. Throws in words where nothing comes or it is not allowed. */
export async function feel(seconds: number): Promise<Moved[]> {
  // Some web views ask the person first.
  const asks = DeviceMotionEvent as unknown as Asks;
  if (asks.requestPermission && (await asks.requestPermission().catch(() => 'denied')) !== 'granted') throw new Error(words.heard.noMotion);
  const samples: Moved[] = [];
  const moved = (event: DeviceMotionEvent) => {
    const a = event.accelerationIncludingGravity ?? event.acceleration;
    if (typeof a?.x === 'number' && typeof a.y === 'number' && typeof a.z === 'number') samples.push({ ms: event.timeStamp, x: a.x, y: a.y, z: a.z });
  };
  window.addEventListener('devicemotion', moved);
  await new Promise((done) => setTimeout(done, seconds * 1000));
  window.removeEventListener('devicemotion', moved);
  if (samples.length === 0) throw new Error(words.heard.noMotion);
  return samples;
}
