import { beforeEach, expect, it } from 'vitest';
import { Asking } from './asking.svelte';
import { toasts } from './toasts.svelte';
import { questioned } from './transport';

/** Asks until it is confirmed, then keeps. */
function odd() {
  const seen: boolean[] = [];
  const work = async (confirmed: boolean) => {
    seen.push(confirmed);
    if (!confirmed) throw questioned('So short?');
  };
  return { seen, work };
}
const refuse = async () => {
  throw new Error('Not cut yet.');
};
const keep = async () => undefined;
const words = () => toasts.list.map((t) => t.text);

beforeEach(() => {
  toasts.list = [];
});

it('asks what the program questions, and a yes does the same again as confirmed', async () => {
  const [ask, { seen, work }] = [new Asking(), odd()];
  await ask.act({ title: 'Cut' }, work);
  expect([ask.asked?.question, ask.asked?.told.title, words()]).toEqual(['So short?', 'Cut', []]);
  await ask.yes();
  expect([seen, ask.asked, words()]).toEqual([[false, true], undefined, []]);
});

it('does nothing more where a person goes back', async () => {
  const [ask, { seen, work }] = [new Asking(), odd()];
  await ask.act({ title: 'Cut' }, work);
  ask.close();
  await ask.yes();
  expect([seen, ask.asked]).toEqual([[false], undefined]);
});

it('asks again where the confirmed act is questioned in its turn', async () => {
  const ask = new Asking();
  await ask.act({ title: 'Cut' }, async (confirmed) => {
    throw questioned(confirmed ? 'And so thin?' : 'So short?');
  });
  await ask.yes();
  expect(ask.asked?.question).toBe('And so thin?');
});

it('keeps the question of a second act behind the first, each with its own yes', async () => {
  const ask = new Asking();
  const [first, second] = [odd(), odd()];
  const asks = (question: string, of: { work: (confirmed: boolean) => Promise<void> }) => (confirmed: boolean) =>
    of.work(confirmed).catch(() => {
      throw questioned(question);
    });
  await ask.act({ title: 'Cut 3' }, asks('So short?', first));
  await ask.act({ title: 'Cut 4' }, asks('So long?', second));
  expect(ask.asked?.question).toBe('So short?');
  await ask.yes();
  expect([first.seen, second.seen, ask.asked?.question]).toEqual([[false, true], [false], 'So long?']);
  await ask.yes();
  expect([second.seen, ask.asked]).toEqual([[false, true], undefined]);
});

it('asks once what a double touch did twice, and nothing any more once a person went elsewhere', async () => {
  const [ask, { work }] = [new Asking(), odd()];
  await ask.act({ title: 'Cut' }, work);
  await ask.act({ title: 'Cut' }, work);
  ask.close();
  expect(ask.asked).toBeUndefined();
  await ask.act({ title: 'Cut' }, work);
  await ask.act({ title: 'Thread' }, work);
  ask.leave();
  expect(ask.asked).toBeUndefined();
});

it('tells a refusal, of the confirmed act too, and asks nothing', async () => {
  const ask = new Asking();
  await ask.act({ title: 'Cut' }, (confirmed) => (confirmed ? refuse() : odd().work(false)));
  expect(words()).toEqual([]);
  await ask.yes();
  expect([ask.asked, words()]).toEqual([undefined, ['Not cut yet.']]);
});

it('is busy until the last act that runs is done', async () => {
  const ask = new Asking();
  const ends: (() => void)[] = [];
  const acts = [1, 2].map(() => ask.act({ title: 'Cut' }, () => new Promise<void>((end) => ends.push(end))));
  expect(ask.busy).toBe(true);
  ends[0]?.();
  await acts[0];
  expect(ask.busy).toBe(true);
  ends[1]?.();
  await acts[1];
  expect(ask.busy).toBe(false);
  await ask.act({ title: 'Cut' }, refuse);
  expect(ask.busy).toBe(false);
});

it.each([
  ['the same wire', ['threaded', 3], []],
  ['the same act', ['cut', 4], []],
  ['another act on another wire', ['threaded', 4], ['Not cut yet.']],
  ['an act that names neither', undefined, ['Not cut yet.']]
])('the words of a refusal after %s was done: %j leaves %j', async (_, about, left) => {
  const ask = new Asking();
  await ask.act({ title: 'Cut', about: ['cut', 3] }, refuse);
  await ask.act({ title: 'Thread', about }, keep);
  expect(words()).toEqual(left);
});

it('the words of a refusal stay while the next act is only asked about', async () => {
  const ask = new Asking();
  await ask.act({ title: 'Cut', about: ['cut', 3] }, refuse);
  await ask.act({ title: 'Cut', about: ['cut', 3] }, odd().work);
  expect(words()).toEqual(['Not cut yet.']);
  await ask.yes();
  expect(words()).toEqual([]);
});

it('keeps the words of a refusal that came while another of the same act was being kept', async () => {
  const ask = new Asking();
  let kept = () => {};
  const second = ask.act({ title: 'Cut', about: ['cut'] }, () => new Promise<void>((end) => (kept = end)));
  await ask.act({ title: 'Cut', about: ['cut'] }, refuse);
  kept();
  await second;
  expect(words()).toEqual(['Not cut yet.']);
});
