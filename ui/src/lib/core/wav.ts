// Plain sound files of what a microphone heard: WAV, one channel, 16 bits. Pure.
// Form: RIFF of 1991, fmt chunk of 16 bytes, format 1 (PCM), little-endian.

export interface Take {
  /** Samples, full scale ±1. */
  samples: Float32Array;
  /** Samples a second. */
  rate: number;
}

const HEAD = 44;

/** The bytes of a WAV file. Samples beyond full scale are cut to it: the reader then says that it was too loud. */
export function wavOf({ samples, rate }: Take): Uint8Array<ArrayBuffer> {
  const bytes = new Uint8Array(HEAD + samples.length * 2);
  const view = new DataView(bytes.buffer);
  const word = (at: number, text: string) => [...text].forEach((letter, i) => view.setUint8(at + i, letter.charCodeAt(0)));
  word(0, 'RIFF');
  view.setUint32(4, bytes.length - 8, true);
  word(8, 'WAVEfmt ');
  view.setUint32(16, 16, true);
  view.setUint16(20, 1, true);
  view.setUint16(22, 1, true);
  view.setUint32(24, rate, true);
  view.setUint32(28, rate * 2, true);
  view.setUint16(32, 2, true);
  view.setUint16(34, 16, true);
  word(36, 'data');
  view.setUint32(40, samples.length * 2, true);
  samples.forEach((sample, i) => view.setInt16(HEAD + i * 2, Math.round(Math.max(-1, Math.min(1, Number.isFinite(sample) ? sample : 0)) * 32767), true));
  return bytes;
}

/** Blocks one after the other. */
export function joined(blocks: Float32Array[]): Float32Array {
  const whole = new Float32Array(blocks.reduce((n, b) => n + b.length, 0));
  let at = 0;
  for (const block of blocks) {
    whole.set(block, at);
    at += block.length;
  }
  return whole;
}

/** Loudest sample of a block, 0 to 1. */
export function peakOf(block: Float32Array): number {
  return Math.min(1, block.reduce((most, sample) => Math.max(most, Math.abs(sample)), 0));
}
