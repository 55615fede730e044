// Names and notes in scripts that run from right to left, among words and figures that run from left to right. Where nothing
// parts them, the figures behind a name change places with it (Unicode Standard Annex 9, isolates).

const [FIRST_STRONG, POP] = ['\u2068', '\u2069'];
/** Letters of Hebrew, Arabic and the other scripts that run so, by their blocks. */
const BACK = '\\u0590-\\u08ff\\ufb1d-\\ufdff\\ufe70-\\ufefc\\u{10800}-\\u{10fff}\\u{1e800}-\\u{1efff}';
const ANY = new RegExp(`[${BACK}]`, 'u');
/** Words of such a script, with what stands between two of them. */
const WORDS = new RegExp(`[${BACK}](?:[${BACK}\\p{M}]|[\\s'’.\\-]+(?=[${BACK}]))*`, 'gu');
const PARTED = /(\u2068[^\u2069]*\u2069)/;

/** A name, a caption or a note that becomes part of a line: it keeps its own direction, the line keeps its order. */
export function isolated(text: string): string {
  return ANY.test(text) && !text.startsWith(FIRST_STRONG) ? `${FIRST_STRONG}${text}${POP}` : text;
}

/** A line that was composed elsewhere: what in it runs from right to left is parted from the rest. */
export function inOrder(line: string): string {
  if (!ANY.test(line)) return line;
  const part = (text: string) => text.replace(WORDS, (run) => `${FIRST_STRONG}${run}${POP}`);
  return line.split(PARTED).map((text) => (text.startsWith(FIRST_STRONG) ? text : part(text))).join('');
}
