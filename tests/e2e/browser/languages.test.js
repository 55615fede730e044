// People of other scripts: their names among dates and figures, and figures in their own locale in and out.
import assert from 'node:assert/strict';
import test from 'node:test';
import { serve } from '../lib/host.js';
import { browser, phone, unexpected } from '../lib/phone.js';
import { calls, named, row, starts, touch } from '../lib/touch.js';
import { open } from '../steps/screens.js';
import { surveyed } from '../steps/surveyed.js';

const NAME = 'محمد علي';

/** In the page: every place where the name stands before a date, as drawn; true where the date's day is right of the name. */
function drawn([name, within]) {
  const found = [];
  for (const block of document.querySelectorAll(within)) {
    const walk = document.createTreeWalker(block, NodeFilter.SHOW_TEXT);
    const nodes = [];
    for (let node = walk.nextNode(); node; node = walk.nextNode()) nodes.push(node);
    const whole = nodes.map((node) => node.data).join('');
    const place = (at) => {
      for (const node of nodes) {
        if (at < node.data.length) return [node, at];
        at -= node.data.length;
      }
      return [nodes.at(-1), nodes.at(-1).data.length];
    };
    const box = (from, to) => {
      const range = document.createRange();
      range.setStart(...place(from));
      range.setEnd(...place(to));
      return range.getBoundingClientRect();
    };
    const from = whole.indexOf(name);
    const date = /\d{1,2} \p{L}{3,} \d{4}/u.exec(whole.slice(Math.max(from, 0) + name.length));
    if (from < 0 || !date) continue;
    const day = from + name.length + date.index;
    found.push(box(day, day + 1).left >= box(from, from + name.length).right - 0.5);
  }
  return found;
}

test('a name that runs from right to left stays before its date', { timeout: 60_000 }, async (t) => {
  const host = await serve(t, 'names');
  const job = await surveyed(host, NAME);
  const [run] = job.runs;
  const [post] = run.posts;
  await host.call('say', { job: job.job, claims: [{ subject: post.subject, field: 'note', value: 'قاعدة 2' }] });
  await host.call('signOff', { job: job.job, stage: 'survey', statement: 'Measured' });
  const { page, wrong } = await phone(await browser(t), host);
  await open(page, `#/job/${job.job}/run/${run.id}?at=${encodeURIComponent(post.subject)}`, `Run ${run.name}`);
  const card = page.getByRole('dialog', { name: `Post ${post.name}`, exact: true });
  await card.getByText(/^History of notes? \(1\)|\(1\)$/i).first().click();
  const notes = await page.evaluate(drawn, [NAME, '[role=dialog] p']);
  assert.ok(notes.length >= 2, 'the note and its history');
  assert.deepEqual(notes.filter((stands) => !stands), []);
  await open(page, `#/job/${job.job}/signoffs`, 'Sign-offs');
  assert.deepEqual(await page.evaluate(drawn, [NAME, 'li small']), [true]);

  // The check itself sees it: here nothing parts them.
  const made = await page.evaluate((text) => document.querySelector('h1').insertAdjacentHTML('afterend', `<p class="made">${text}</p>`), `${NAME}, 30 Nov 2026`).then(() => page.evaluate(drawn, [NAME, '.made']));
  assert.deepEqual(made, [false]);
  assert.deepEqual(unexpected(wrong), []);
});

test('a form shows figures that it reads again in every locale, and takes the digits of other keyboards', { timeout: 90_000 }, async (t) => {
  const host = await serve(t, 'locales');
  const job = await surveyed(host);
  const [run] = job.runs;
  const [post] = run.posts;
  const chrome = await browser(t);
  const section = async () => (await host.call('readSubject', { job: job.job, subject: post.subject })).facts.find((f) => f.field === 'section').words.find((w) => w.stands).value.alongNm;
  let stood = '115';
  for (const [locale, typed, shown, nm] of [['de-DE', '115,5', '115,5', 115_500_000], ['ar-EG', '١١٦٫٥', '116.5', 116_500_000], ['fa-IR', '۱۱۷', '117', 117_000_000], ['hi-IN-u-nu-deva', '११८', '118', 118_000_000]]) {
    const { page, wrong } = await phone(chrome, host, { locale });
    await open(page, `#/job/${job.job}/run/${run.id}?at=${encodeURIComponent(post.subject)}`, `Run ${run.name}`);
    await row(page, 'Section');
    const card = page.getByRole('dialog', { name: 'Section', exact: true });
    const along = named(card, 'textbox', starts('Along the run'));
    assert.equal((await along.inputValue()).replace(/\D/, '.'), stood.replace(/\D/, '.'), locale);
    await along.fill(typed);
    const said = await calls(page, 'say', () => touch(card, 'button', 'Keep'));
    assert.equal(said.status(), 200);
    assert.match(said.request().postDataJSON().claims[0].with.entered, /^[\x20-\x7e]+$/, 'what was typed is kept in plain digits');
    await card.waitFor({ state: 'detached' });
    assert.equal(await section(), nm, locale);
    stood = shown;
    assert.deepEqual(unexpected(wrong), []);
    await page.context().close();
  }
});
