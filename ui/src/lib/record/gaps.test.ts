import { expect, it } from 'vitest';
import { probeOf } from './gaps';
import type { Job, Known, Thing } from './view';

const fact = (field: string, value: unknown): Known => ({ subject: '', field, place: '', standing: 'agreed', value, tips: [] });
const probe = (id: string, mm: number): Thing => ({ subject: `tool:${id}`, id, name: id, repeats: {}, facts: { kind: fact('kind', 'probe'), size: fact('size', { nm: mm * 1_000_000 }) } });
const job = (...tools: Thing[]): Job => ({ tools }) as unknown as Job;

it('takes the only probe, the chosen one of several, and none of several unasked', () => {
  expect(probeOf(job())).toBeUndefined();
  expect(probeOf(job(probe('a', 125)))).toEqual({ tool: 'a', nm: 125_000_000, typed: { text: '125', unit: 'mm' } });
  const two = job(probe('a', 125), probe('b', 100));
  expect(probeOf(two)).toBeUndefined();
  expect(probeOf(two, 'b')).toEqual({ tool: 'b', nm: 100_000_000, typed: { text: '100', unit: 'mm' } });
});

it('tells its size as it was typed, and in millimetres where that says another size', () => {
  const told = (entered: string) => {
    const one = probe('a', 101.6);
    const size = one.facts.size as Known;
    size.tips = [{ claim: 'c', value: size.value, who: '', at: { ms: 0, offsetMin: 0 } as Known['tips'][number]['at'], context: { entered } }];
    return probeOf(job(one))?.typed;
  };
  expect(told('4 in')).toEqual({ text: '4 in', unit: 'mm' });
  expect(told('5 in')).toEqual({ text: '101.6', unit: 'mm' });
});
