import { expect, it } from 'vitest';
import { toldOf } from './report';

// As `readExchange` answers it in `last`; fields that no screen reads are left out.
const last = {
  shared: false,
  waiting: [{ what: 'originals', whose: 'Ben', count: 3, words: '3 original files of Ben are not there yet' }],
  aside: [{ path: 'log/1f/abc.seg', reason: 'The signature does not fit.' }],
  faults: [{ message: 'The folder does not answer. Nothing was lost. Exchange again later.', retryable: true }],
  forked: true,
  unknown: 3,
  services: 2,
  strange: ['log/notes.txt']
};

it('tells sentences alone, and where what is set aside lies', () => {
  const told = toldOf(last);
  expect(told.waiting).toEqual(['3 original files of Ben are not there yet']);
  expect(told.aside).toEqual([
    { text: 'The signature does not fit.', path: 'log/1f/abc.seg' },
    { text: 'The folder does not answer. Nothing was lost. Exchange again later.', path: '' }
  ]);
  expect([told.forked, told.strange]).toEqual([true, ['log/notes.txt']]);
});

it('shows no key of the program, even where a sentence is missing', () => {
  expect(JSON.stringify(toldOf({ waiting: [{ what: 'originals', words: '' }] } as never))).not.toContain('originals');
});

it('is empty before the first exchange', () => expect(toldOf(null)).toEqual({ waiting: [], aside: [], forked: false, strange: [] }));
