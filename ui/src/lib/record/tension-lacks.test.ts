import { expect, it } from 'vitest';
import type { TensionPlan } from '$lib/generated/api';
import { tensionLacks } from './tension-lacks';
import type { Job, Known, Thing } from './view';

const fact = (field: string, value: unknown): Known => ({ subject: 's', field, place: '', standing: 'agreed', value, tips: [] });
const thing = (subject: string, name: string, told: Record<string, unknown> = {}): Thing => ({
  subject, id: subject.split(':')[1] ?? '', name, repeats: {}, facts: Object.fromEntries(Object.entries(told).map(([field, value]) => [field, fact(field, value)]))
});
const post = (name: string, told: Record<string, unknown> = {}) => thing(`post:${name}`, name, told);
const job = (more: Partial<Job>, ends: Thing[]) =>
  ({ ...thing('job:j', 'Deck'), runs: [{ ...thing('run:r', 'A'), posts: ends, bays: [], wires: [] }], tools: [], strands: [], fittingSets: [], ...more }) as unknown as Job;
const plan: TensionPlan = { required: null, openBays: [], gauge: null, laterLossN: null } as unknown as TensionPlan;
const chosen = thing('run:r', 'A', { strand: 's1', fittingSet: 'f1' });
const at = '#/job/j';

it('tells at once all that a new run lacks, each with where it is told', () => {
  const ends = [post('A1'), post('A3')];
  expect(tensionLacks(job({}, ends), thing('run:r', 'A'), ends, plan, false).map((l) => [l.what, l.href])).toEqual([
    ['The rule set in force', `${at}/rules`],
    ['The strand of the run', `${at}/materials`],
    ['The fitting set of the run', `${at}/materials`],
    ['A tension gauge with its error', `${at}/tools`],
    ['Section of post A1', `${at}/run/r?at=post%3AA1&tell=section`],
    ['Modulus of post A1, or a known pull on it with the rail off', `${at}/run/r?at=post%3AA1&tell=material`],
    ['Section of post A3', `${at}/run/r?at=post%3AA3&tell=section`],
    ['Modulus of post A3, or a known pull on it with the rail off', `${at}/run/r?at=post%3AA3&tell=material`]
  ]);
});

it('leads to the very form of a figure that is missing', () => {
  const [one, other] = [post('A1', { section: { alongNm: 1 }, material: { modulusMpa: 13_000 } }), post('A3', { section: { alongNm: 1 }, material: {} })];
  other.repeats.pull = [fact('pull', { railOn: false })];
  const of = job({ strands: [thing('strand:s1', '3.2', { figures: { eaMn: 1 } })], fittingSets: [thing('fittingSet:f1', 'M6')], tools: [thing('tool:g1', 'G-02')] }, [one, other]);
  const gauge = { tool: 'g1', name: 'G-02', error: null, dates: '' };
  expect(tensionLacks(of, chosen, [one, other], { ...plan, required: { newtons: 1 } as TensionPlan['required'], gauge }, true).map((l) => [l.what, l.href])).toEqual([
    ['Breaking load of strand 3.2', `${at}/materials?at=strand%3As1&tell=figures`],
    ['What the terminals of M6 hold, and the factor', `${at}/materials?at=fittingSet%3Af1&tell=efficiency`],
    ['Error of gauge G-02', `${at}/tools?at=tool%3Ag1&tell=errorPer10000`]
  ]);
});

it('says nothing where all of it is told, nor of posts whose giving is counted already', () => {
  const posts = [post('A1'), post('A3')];
  const of = job({ strands: [thing('strand:s1', '3.2', { figures: { eaMn: 1, breakingMn: 2 } })], fittingSets: [thing('fittingSet:f1', 'M6', { efficiency: {} })] }, posts);
  const whole = { ...plan, required: { newtons: 1 } as TensionPlan['required'], gauge: { tool: 'g', name: 'G', error: 0.04, dates: '' }, laterLossN: 30 };
  expect(tensionLacks(of, chosen, posts, whole, true)).toEqual([]);
});

it('takes no pull with the rail on for a modulus, and asks for the wall of a hollow post', () => {
  const [one, other] = [post('A1', { section: { alongNm: 1 }, material: {} }), post('A3', { section: { alongNm: 1, solid: false }, material: { modulusMpa: 70_000 } })];
  one.repeats.pull = [fact('pull', { railOn: true })];
  const of = job({ strands: [thing('strand:s1', '3.2', { figures: { eaMn: 1, breakingMn: 2 } })], fittingSets: [thing('fittingSet:f1', 'M6', { efficiency: {} })] }, [one, other]);
  const whole = { ...plan, required: { newtons: 1 } as TensionPlan['required'], gauge: { tool: 'g', name: 'G', error: 0.04, dates: '' } };
  const lacking = () => tensionLacks(of, chosen, [one, other], whole, true).map((l) => l.what);
  expect(lacking()).toEqual(['Modulus of post A1, or a known pull on it with the rail off', 'Wall of the hollow post A3, or a known pull on it with the rail off']);
  for (const pulled of [one, other]) pulled.repeats.pull = [fact('pull', { railOn: false })];
  expect(lacking()).toEqual([]);
});
