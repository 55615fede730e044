import { expect, it } from 'vitest';
import { passesTo } from './passes';

// A gauge of 4 % steps by 50 N, one of 1 % by 10 N: whatever the set tension is, the last pass is that.
it.each([
  [1500, [600, 1100, 1500]],
  [1460, [600, 1050, 1460]],
  [1463, [600, 1050, 1463]],
  [110, [50, 100, 110]],
  [60, [50, 60]],
  [30, [30]]
])('%d N', (set, passes) => expect(passesTo(set)).toEqual(passes));
