// When a typed length is asked about. The program's own thresholds (`mechanics::plausible` and `records::work::odd_value`, behind the
// commands that measure and say), so that the pad asks at once what the program would ask on keeping, and a form of several steps
// before its first one; the program decides, and asks again what slips past here.
// Nothing else on the screens may hold a threshold of its own. Common practice; no published source.
import { NM_PER_MM } from './length';

/** Over this many times a neighbour, or under its inverse, up to `INCHES_TO`: inches and millimetres mixed up (25.4). */
export const INCHES_FROM = 20;
export const INCHES_TO = 30;
/** Metres or centimetres typed for millimetres: what one of them is, and how far off that may be. */
export const UNITS = [
  { name: 'metres', said: 'm', per: 1000, from: 800, to: 1200 },
  { name: 'centimetres', said: 'cm', per: 10, from: 8, to: 12 }
] as const;
/** A metre is 39.37 in: metres typed for inches are about so many times less. Asked by the pad alone, which offers the other reading. */
export const METRES_AS_INCHES = { from: 35, to: 45 };
/** Tenths of a millimetre are the finest that a tape or a laser shows; two places and more are those of metres. By the pad alone. */
export const METRES_PLACES = 2;
/** The longest text that is read as a length; the record keeps no more of it. */
export const LONGEST_TEXT = 40;
/** A bay is about this long, at least and at most. */
export const BAY_FROM_NM = 300 * NM_PER_MM;
export const BAY_TO_NM = 3_000 * NM_PER_MM;
/** Away from the nearest wire by more than this share of it, and by more than this length. */
export const APART_SHARE = 0.02;
export const APART_NM = 60 * NM_PER_MM;
/** Longer than this is asked about, whatever stands beside it. */
export const LONG_NM = 100_000 * NM_PER_MM;
/** A post is about this wide, at least and at most. */
export const WIDTH_FROM_NM = 6 * NM_PER_MM;
export const WIDTH_TO_NM = 1_000 * NM_PER_MM;
/** A hollow post's wall is about this thick, at least and at most. */
export const WALL_FROM_NM = NM_PER_MM;
export const WALL_TO_NM = 12 * NM_PER_MM;
/** Longer than this is refused. */
export const LONGEST_NM = 1_000_000 * NM_PER_MM;
