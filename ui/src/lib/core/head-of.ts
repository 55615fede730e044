// A sentence in two parts: what it comes to, and what it adds. Pure.

/** So much of a sentence fits the button at the thumb in two lines. */
const ONE_BUTTON = 36;

/** What stands before the colon with it, and what follows; a short sentence stays whole. */
export function headOf(sentence: string): [head: string, rest: string] {
  const at = sentence.indexOf(': ');
  return sentence.length <= ONE_BUTTON || at < 0 ? [sentence, ''] : [sentence.slice(0, at + 1), sentence.slice(at + 2)];
}
