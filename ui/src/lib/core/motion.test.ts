import { expect, it } from 'vitest';
import { motionTable } from './motion';

it('motion is a table from its first sample on, with its gaps', () => {
  const at = (ms: number, x: number) => ({ ms, x, y: 0, z: 9.81 });
  expect(motionTable([at(1000.5, 0.1), at(1010.5, -0.25), at(1500, NaN)])).toBe('ms;x;y;z\n0.00;0.1000;0.0000;9.8100\n10.00;-0.2500;0.0000;9.8100\n499.50;NaN;0.0000;9.8100');
  expect(motionTable([])).toBe('ms;x;y;z');
});
