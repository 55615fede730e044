// A text as a QR picture: the dark squares as one path, in squares as the unit. Pure.
import { encode } from 'uqr';

/** Light squares round the picture: readers need four (ISO/IEC 18004). */
export const QUIET = 4;

export interface QrPicture {
  /** Squares along each side, the quiet rim included. */
  size: number;
  /** What is dark, as the data of an SVG path. */
  path: string;
}

export function qrPicture(text: string): QrPicture {
  // Medium correction: a smear or a glare spot on a screen is put right.
  const { data, size } = encode(text, { ecc: 'M', border: QUIET });
  return { size, path: data.flatMap(runsOf).join('') };
}

/** Neighbouring dark squares of one line become one box. */
function runsOf(line: boolean[], y: number): string[] {
  const runs: string[] = [];
  for (let x = 0; x < line.length; x += 1) {
    if (!line[x]) continue;
    const from = x;
    while (line[x + 1]) x += 1;
    runs.push(`M${from} ${y}h${x - from + 1}v1h-${x - from + 1}z`);
  }
  return runs;
}
