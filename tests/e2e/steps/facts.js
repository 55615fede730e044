// By touch: a thing's facts, its notes, its pictures, and the rooms that hold lists of things.
import { calls, named, starts, touch, write } from '../lib/touch.js';

/** Opens a fact from a list of facts; answers the card that asks for it. */
export async function openFact(scope, page, label) {
  await named(scope, 'button', starts(label)).first().tap();
  return page.getByRole('dialog', { name: label, exact: true });
}

/** Says one fact: `fill` types into its card. */
export async function say(scope, page, label, fill) {
  const card = await openFact(scope, page, label);
  await fill(card);
  await calls(page, 'say', () => touch(card, 'button', 'Keep'));
  await card.waitFor({ state: 'detached' });
}

export async function note(page, scope, text) {
  await touch(scope, 'button', 'Note');
  await write(scope, 'Note', text);
  await calls(page, 'say', () => touch(scope.getByRole('region', { name: 'Note' }), 'button', 'Keep'));
  await scope.getByText(text).first().waitFor();
}

/** Adds a thing to a room's list and opens its card. */
export async function add(page, room, button, name, fill) {
  await touch(page, 'button', button);
  await fill(page);
  await calls(page, 'addThing', () => touch(page, 'button', 'Keep'));
  await named(page.getByRole('list', { name: room, exact: true }), 'button', starts(name)).tap();
  return page.getByRole('dialog', { name, exact: true });
}

export async function close(page, card) {
  await touch(card, 'button', 'Close');
  await card.waitFor({ state: 'detached' });
}

/** Takes a picture in from a card by one of its two ways, `Camera` or `From a file`. */
export async function picture(page, card, way, shows, caption, file) {
  await touch(card, 'button', 'Picture');
  await inForm(page, card, way, shows, caption, file);
  await card.getByRole('img', { name: caption }).waitFor();
}

/** The same where the form is open already. */
export async function inForm(page, card, way, shows, caption, file) {
  const form = card.getByRole('group', { name: 'Add a picture' });
  if (shows) await named(form, 'combobox', 'What it shows').selectOption({ label: shows });
  await write(form, 'Caption', caption);
  const [chooser] = await Promise.all([page.waitForEvent('filechooser'), form.getByText(way, { exact: true }).tap()]);
  await calls(page, 'addPhoto', () => chooser.setFiles(file));
}
