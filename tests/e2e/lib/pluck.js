// Files of plucked wires and of a swinging phone, made by formula: no recording of a real wire is among them.

/** Mass of a metre of 1x19 of 3.2 mm, kg, and a bending stiffness within its bounds, N·m². */
const MASS = 0.05005;
const BENDING = 0.15;

/** Partials of a clamped stiff string (Fletcher 1964), plucked at a fifth, each dying away. */
export function pluck(metres, newtons, { rate = 48_000, seconds = 2.5, at = 0.4 } = {}) {
  const e = Math.sqrt(BENDING / newtons) / metres;
  const base = (Math.sqrt(newtons / MASS) / (2 * metres)) * (1 + 2 * e + 4 * e * e);
  const sound = new Float64Array(rate * seconds);
  for (let n = 1; n < 60; n++) {
    const f = n * base * Math.sqrt(1 + (Math.PI * e * n) ** 2);
    if (f > 4000) break;
    const decay = 0.5 / (1 + f / 600);
    for (let i = Math.round(at * rate); i < sound.length; i++) {
      const t = i / rate - at;
      sound[i] += ((Math.sin(n * Math.PI * 0.2) / n) * Math.exp(-t / decay)) * Math.sin(2 * Math.PI * f * t + n);
    }
  }
  // A room is never still: a little noise, the same each time (Park and Miller 1988).
  let dice = 1;
  for (let i = 0; i < sound.length; i++) {
    dice = (dice * 48_271) % 2_147_483_647;
    sound[i] += 0.01 * (dice / 1_073_741_823.5 - 1);
  }
  const most = sound.reduce((m, x) => Math.max(m, Math.abs(x)), 0);
  return sound.map((x) => (x / most) * 0.5);
}

/** A WAV file of one channel and 16 bits. */
export function wav(sound, rate = 48_000) {
  const bytes = Buffer.alloc(44 + sound.length * 2);
  bytes.write('RIFF', 0);
  bytes.writeUInt32LE(bytes.length - 8, 4);
  bytes.write('WAVEfmt ', 8);
  bytes.writeUInt32LE(16, 16);
  bytes.writeUInt16LE(1, 20);
  bytes.writeUInt16LE(1, 22);
  bytes.writeUInt32LE(rate, 24);
  bytes.writeUInt32LE(rate * 2, 28);
  bytes.writeUInt16LE(2, 32);
  bytes.writeUInt16LE(16, 34);
  bytes.write('data', 36);
  bytes.writeUInt32LE(sound.length * 2, 40);
  sound.forEach((x, i) => bytes.writeInt16LE(Math.round(x * 32767), 44 + i * 2));
  return bytes;
}

/** Motion of a phone that swings on its second axis after a push, one sample each 10 ms. */
export function motion(hertz, seconds = 5) {
  const lines = Array.from({ length: seconds * 100 }, (_, i) => {
    const t = i / 100;
    const since = Math.max(0, t - 0.5);
    return [i * 10, 0.02, 9.81 + 3 * Math.exp(-since / 1.2) * Math.sin(2 * Math.PI * hertz * since), 0.01].join(';');
  });
  return ['ms;x;y;z', ...lines].join('\n');
}
