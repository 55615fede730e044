import { expect, it } from 'vitest';
import { inTurn } from './in-turn';
import { questioned, questionOf } from './transport';

/** Asked by the program unless it is sure. */
function form(own: string | undefined, program: string | undefined) {
  const ask = inTurn();
  const save = (confirmed: boolean) =>
    ask(own, confirmed, async (sure) => {
      if (program && !sure) throw questioned(program);
      return 'kept';
    }).catch((fault: unknown) => questionOf(fault));
  return save;
}

it('keeps what nobody asks about', async () => expect(await form(undefined, undefined)(false)).toBe('kept'));

it('asks the screen’s question, then the program’s, and a yes answers one of them', async () => {
  const save = form('bay?', 'height?');
  expect(await save(false)).toBe('bay?');
  expect(await save(true)).toBe('height?');
  expect(await save(true)).toBe('kept');
});

it('asks one question once', async () => {
  for (const save of [form('bay?', undefined), form(undefined, 'height?')]) {
    expect(await save(false)).toMatch(/[?]$/);
    expect(await save(true)).toBe('kept');
  }
});

it('asks anew where the form was changed after the program had asked', async () => {
  const save = form('bay?', 'height?');
  await save(false);
  await save(true);
  expect(await save(false)).toBe('bay?');
  expect(await save(true)).toBe('height?');
});
