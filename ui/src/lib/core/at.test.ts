import { expect, it } from 'vitest';
import { asked, cameFrom, comingFrom, jobAt } from './at';

it('a room leads back where a person came from, over as many rooms as it took', () => {
  const materials = jobAt('j', comingFrom('materials', 'new-run'));
  expect(materials).toBe('#/job/j/materials?from=new-run');
  expect(cameFrom(materials)).toBe('new-run');
  const library = jobAt('j', comingFrom('library', 'materials', ...asked(materials, 'from').split('/')));
  expect(jobAt('j', cameFrom(library))).toBe(materials);
});

it('leads to the job where nothing is told, or what is no room', () => {
  expect(['#/job/j/materials', '#/job/j/materials?from=', '#/job/j/materials?from=https:%2F%2Fx.y', '#/job/j/materials?at=strand:1'].map(cameFrom)).toEqual(['', '', '', '']);
});
