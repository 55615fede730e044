// What a thumb does on a screen, by the roles and names that a reader hears.

/** Touches a button, link or the like; a name is matched whole, a pattern as it stands. */
export async function touch(scope, role, name) {
  await named(scope, role, name).tap();
}

export function named(scope, role, name) {
  return scope.getByRole(role, { name, exact: typeof name === 'string' });
}

/** Fills a field in after touching it; the label stands without its unit. */
export async function write(scope, label, text) {
  const field = named(scope, 'textbox', whole(label));
  await field.tap();
  await field.fill(text);
}

/** Takes an entry of a choice by its words, or by its place in the list. The list that a phone opens is the system's own. */
export async function choose(scope, label, words) {
  await named(scope, 'combobox', whole(label)).selectOption(typeof words === 'string' ? { label: words } : words);
}

/** Answers a question with yes, no or not known. */
export async function answer(scope, question, words) {
  await scope.getByRole('group', { name: question, exact: true }).getByRole('radio', { name: words, exact: true }).tap();
}

/** Waits until a screen with this title stands. */
export async function at(page, title) {
  await named(page, 'heading', title).and(page.locator('h1')).waitFor();
}

/** Touches what leads elsewhere, and waits for that screen. */
export async function go(page, role, name, title) {
  await touch(page, role, name);
  await at(page, title);
}

/** Touches a row of a list; its name begins with these words. */
export async function row(scope, words, title) {
  await named(scope, 'link', starts(words)).or(named(scope, 'button', starts(words))).first().tap();
  if (title) await at(scope, title);
}

/** Types a number on the pad, key by key, after rubbing out what may stand there. */
export async function pad(page, digits, keep) {
  const keys = page.getByRole('group', { name: 'Number pad' });
  for (const digit of digits) await touch(keys, 'button', digit === '.' ? 'Point' : digit);
  await touch(keys, 'button', keep);
}

/** Touches a button that calls a command, and waits until the program has answered. */
export async function calls(page, command, act) {
  const [answered] = await Promise.all([page.waitForResponse((r) => new URL(r.url()).pathname === `/api/${command}`), act()]);
  return answered;
}

export const starts = (words) => new RegExp(`^${escaped(words)}`);
const whole = (label) => new RegExp(`^${escaped(label)}(, (mm|in|m|ft|N|°C|%|g|MPa|N/mm|mm/m))?$`);
const escaped = (words) => words.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
