// When a typed length is asked about. The program's own thresholds (`mechanics::plausible` and `records::work::odd_value`, behind the
// commands that measure and say), so that the pad asks at once what the program would ask on keeping, and a form of several steps
// before its first one; the program decides, and asks again what slips past here.
// Nothing else on the screens may hold a threshold of its own. Common practice; no published source.
import { NM_PER_MM } from './length';

/** Over this many times a neighbour, or under its inverse, up to `INCHES_TO`: inches and millimetres mixed up (25.4). */
export const INCHES_FROM = 20;
export const INCHES_TO = 30;
/** Away from the nearest wire by more than this share of it, and by more than this length. */
export const APART_SHARE = 0.02;
export const APART_NM = 60 * NM_PER_MM;
/** Longer than this is asked about, whatever stands beside it. */
export const LONG_NM = 100_000 * NM_PER_MM;
/** A post is about this wide, at least and at most. */
export const WIDTH_FROM_NM = 6 * NM_PER_MM;
export const WIDTH_TO_NM = 1_000 * NM_PER_MM;
/** Longer than this is refused. */
export const LONGEST_NM = 1_000_000 * NM_PER_MM;
