/** A label within a sentence: `Bay P1–P2` begins small, a short form like `EA` or a name like `P1` keeps its capital. */
export function within(label: string): string {
  return /^\p{Lu}\p{Ll}/u.test(label) ? label.charAt(0).toLowerCase() + label.slice(1) : label;
}
