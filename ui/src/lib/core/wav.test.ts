import { describe, expect, it } from 'vitest';
import { joined, peakOf, wavOf } from './wav';

const text = (bytes: Uint8Array, at: number, n: number) => String.fromCharCode(...bytes.slice(at, at + n));

describe('wavOf', () => {
  const bytes = wavOf({ samples: new Float32Array([0, 0.5, -0.5, 1, -1, 2, -2, NaN]), rate: 48_000 });
  const view = new DataView(bytes.buffer);
  it('says what it holds, each length to the byte', () => {
    expect([text(bytes, 0, 4), text(bytes, 8, 8), text(bytes, 36, 4)]).toEqual(['RIFF', 'WAVEfmt ', 'data']);
    expect(bytes.length).toBe(44 + 16);
    expect(view.getUint32(4, true)).toBe(bytes.length - 8);
    expect(view.getUint32(16, true)).toBe(16);
    // Format 1, one channel, 48 000 a second, 96 000 bytes a second, two bytes a sample, 16 bits.
    expect([20, 22].map((at) => view.getUint16(at, true))).toEqual([1, 1]);
    expect([24, 28].map((at) => view.getUint32(at, true))).toEqual([48_000, 96_000]);
    expect([32, 34].map((at) => view.getUint16(at, true))).toEqual([2, 16]);
    expect(view.getUint32(40, true)).toBe(16);
  });
  it('keeps samples, cuts what is too loud, and holds no number that is none', () => {
    const samples = Array.from({ length: 8 }, (_, i) => view.getInt16(44 + i * 2, true));
    expect(samples).toEqual([0, 16384, -16383, 32767, -32767, 32767, -32767, 0]);
  });
  it('of nothing is a file of nothing', () => expect(wavOf({ samples: new Float32Array(), rate: 16_000 }).length).toBe(44));
});

it('blocks are joined in order, and the loudest sample is told', () => {
  expect([...joined([new Float32Array([1, 2]), new Float32Array(), new Float32Array([3])])]).toEqual([1, 2, 3]);
  expect(peakOf(new Float32Array([0.25, -0.5]))).toBe(0.5);
  expect(peakOf(new Float32Array([-3]))).toBe(1);
  expect(peakOf(new Float32Array())).toBe(0);
});
