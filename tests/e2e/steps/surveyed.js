// A host whose job comes from the worked job's survey file, through the list of commands.
import { join } from 'node:path';
import { root } from '../lib/host.js';

export const SURVEY = join(root, 'fixtures/demo/survey.json');

/** Founds a crew, imports the worked job's survey; answers the job as read. */
export function surveyed(host, person = 'Ann') {
  return imported(host, SURVEY, person);
}

/** Founds a crew, imports a survey; answers the job as read. */
export async function imported(host, path, person = 'Ann') {
  await host.call('foundCrew', { crew: 'Crew', person, role: 'surveyor' });
  const { task } = await host.call('startImport', { source: { kind: 'file', path } });
  const { job } = await ended(host, task);
  return host.call('readJob', { job });
}

/** What long work ends with. */
async function ended(host, task) {
  for (let seen = 0; ; ) {
    const state = await host.call('task', { task, seen, waitMs: 20_000 });
    if (state.state === 'done') return state.result;
    if (state.state !== 'running') throw new Error(`${state.kind}: ${state.error?.message ?? state.state}`);
    seen = state.version;
  }
}
