// Step 6 by touch: what is missing, going without one of it for a reason, the handover and its verification.
import assert from 'node:assert/strict';
import { calls, go, named, row, touch, write } from '../lib/touch.js';

/** Says why one piece of evidence stays away; answers how many are missing after it. */
export async function missing(page) {
  await row(page, 'What is missing', 'What is missing');
  const told = page.getByText(/^\d+ things are missing\.$/);
  const before = Number.parseInt(await told.innerText(), 10);
  await page.getByRole('button', { name: /^Go without: / }).first().tap();
  await calls(page, 'waiveEvidence', () => touch(page.getByRole('dialog', { name: 'Go without' }), 'button', 'Will follow'));
  await page.getByText(`${before - 1} things are missing.`).waitFor();
  await named(page, 'button', 'Goes without 1').waitFor();
  return before - 1;
}

/** Writes the handover into a new folder and has it verified; answers what the screen told of it. */
export async function handover(page, folder, lacking) {
  await go(page, 'link', 'Handover', 'Handover');
  await page.getByText(`${lacking} things are missing.`).waitFor();
  await write(page, 'Folder to write to', folder);
  await calls(page, 'startHandover', () => touch(page, 'button', 'Make the handover'));
  await page.getByText('It is here:').waitFor();
  await touch(page, 'button', 'Check it');
  const verified = page.getByText(/^Checked: \d+ files/);
  await verified.waitFor();
  assert.deepEqual(await page.getByRole('alert').allInnerTexts(), []);
  return verified.innerText();
}
