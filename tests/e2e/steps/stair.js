// A stair run by touch: the run of the worked job's scenario as a surveyor types it in, then what is made of it before an order.
import assert from 'node:assert/strict';
import { join } from 'node:path';
import { root } from '../lib/host.js';
import { answer, at, calls, choose, go, named, row, starts, touch, write } from '../lib/touch.js';
import { close, picture, say } from './facts.js';
import { JOB, room } from './survey.js';

const RUN = 'Run B';

/** Nine risers of 178 on 250, posts of 115 at the ends and 90 between, eight wires 93 apart by the plumb. */
export async function newRun(page) {
  await named(page, 'link', 'New run').first().tap();
  await at(page, 'New run');
  await write(page, 'Run', 'B');
  await choose(page, 'Stands on', 'Stair');
  await choose(page, 'Level or raked', 'Raked');
  for (const [label, value] of [
    ['Top above floor or nosings', '891'],
    ['Rail underside above floor or nosings', '836'],
    ['Rail thickness', '45'],
    ['End posts, width', '115'],
    ['End posts, depth', '115'],
    ['Posts between, width', '90'],
    ['Posts between, depth', '90'],
    ['Bays from the left, clear', '985; 985'],
    ['Number of wires', '8'],
    ['Bottom wire above the floor', '93'],
    ['Wire to wire, centres', '93']
  ]) {
    await write(page, label, value);
  }
  await answer(page, 'Were the bays measured with a tape?', 'Yes');
  await answer(page, 'Angled seats under the fittings?', 'Yes');
  await choose(page, 'Strand', { index: 1 });
  await choose(page, 'Fitting set', { index: 1 });
  await choose(page, 'Kind of end', 'Stud into insert');
  await choose(page, 'Tensioned at', 'Both ends');
  // Without rise and going nobody knows how long a bay is along the wires.
  await touch(page, 'button', 'Keep the run');
  await page.getByText('A raked run needs rise and going.').waitFor();
  for (const [label, value] of [['Rise', '178'], ['Going', '250'], ['Number of risers', '9'], ['Fall (drop) beside this run', '1602']]) await write(page, label, value);
  await touch(page, 'button', 'Keep the run');
  await at(page, RUN);
}

/** Floor levels on the cards of the posts, with a picture of a base; a stair triangle as built. */
export async function posts(page) {
  for (const [post, floor] of [['B1', '0'], ['B2', '-774'], ['B3', '-1549']]) {
    await named(page.getByRole('list', { name: 'Posts and bays' }), 'button', starts(`Post ${post}`)).tap();
    const card = page.getByRole('dialog', { name: `Post ${post}` });
    await say(card, page, 'Floor level', (fact) => write(fact, 'Floor level', floor));
    if (post === 'B1') await picture(page, card, 'From a file', 'Post fixing', 'B1 base', join(root, 'fixtures/photos/orientation-1.jpg'));
    if (post === 'B3') {
      const list = card.getByRole('region', { name: 'Openings' });
      await touch(list, 'button', 'Add an opening');
      await choose(list, 'Kind', 'Stair triangle');
      await write(list, 'As built, clear', '93');
      await calls(page, 'say', () => touch(list, 'button', 'Keep'));
      await list.getByText('93 mm').first().waitFor();
    }
    await close(page, card);
  }
}

/** Along the slope and square to the wires: 985 level is 1209.2, 93 plumb is 75.8, so the row is 1500 by 80. */
export async function beforeOrdering(page) {
  await go(page, 'link', 'Back', JOB);
  await row(page, 'Before ordering', 'Before ordering');
  const bays = page.getByRole('list', { name: 'Bays in the wire table' });
  for (const bay of ['Bay B1–B2', 'Bay B2–B3']) {
    const line = bays.getByRole('listitem').filter({ hasText: bay });
    await line.getByText(bay, { exact: true }).tap();
    await line.getByText(/^1209\.2\smm/).waitFor();
    await line.getByText('reads row 1500 mm, 80 mm apart').waitFor();
    // NCC 2022 housing provisions, 11.3.6 table a.
    await line.getByText('1330 N', { exact: true }).waitFor();
  }
  // What is met stands behind one line.
  await page.locator('summary').filter({ hasText: /more point/ }).tap();
  const triangle = page.getByRole('list', { name: 'What the rules ask', exact: true }).getByRole('listitem').filter({ has: named(page, 'heading', /stair triangle/i) });
  await triangle.getByText(/93\smm clear/).first().waitFor();
  assert.doesNotMatch(await page.locator('main').innerText(), /\b(is safe|complies|compliant)\b/i);
  await go(page, 'link', 'Back', JOB);
}

/** The two faces of a raked post are drilled at two heights, 64 mm apart across 90. */
export async function holes(page) {
  await go(page, 'link', RUN, RUN);
  await room(page, 'Hole schedule');
  const first = async (face) => {
    const table = page.getByRole('region', { name: face, exact: true });
    const line = table.getByRole('row').filter({ has: page.getByRole('cell', { name: '1', exact: true }) });
    return Number((await line.getByRole('cell').nth(1).innerText()).replace(',', '.'));
  };
  const apart = (await first('Post B2 towards B1')) - (await first('Post B2 towards B3'));
  assert.ok(Math.abs(apart - 64.08) < 0.15, `${apart} mm between the faces; 90 · 178/250 is 64.08`);
  await go(page, 'link', 'Back', RUN);
  await go(page, 'link', 'Back', JOB);
}
