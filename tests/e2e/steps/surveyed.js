// A host whose job comes from the worked job's survey file, through the list of commands.
import { join } from 'node:path';
import { root } from '../lib/host.js';

export const SURVEY = join(root, 'fixtures/demo/survey.json');

/** Founds a crew, imports the survey; answers the job as read. */
export async function surveyed(host, person = 'Ann') {
  await host.call('foundCrew', { crew: 'Crew', person, role: 'surveyor' });
  const { job } = await host.call('importSurvey', { source: { kind: 'file', path: SURVEY } });
  return host.call('readJob', { job });
}
