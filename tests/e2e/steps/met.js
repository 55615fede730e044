// Devices that meet through the list of commands, for tests that are about what comes after.

/** Exchanges; answers how the task ended. */
export async function exchange(host) {
  const { task } = await host.call('startSync', {});
  for (let seen; ; ) {
    const state = await host.call('task', { task, waitMs: 5000, ...(seen === undefined ? {} : { seen }) });
    if (state.state !== 'running') return state;
    seen = state.version;
  }
}

/** A second device joins the crew of the first through the folder, and both exchange. */
export async function joined(ann, ben, shared, person = 'Ben') {
  await ann.call('share', { folder: shared });
  await exchange(ann);
  await ben.call('foundCrew', { crew: 'Own', person, role: 'installer' });
  const asked = await ben.call('join', { folder: shared });
  await ann.call('admit', { device: asked.device, digits: asked.digits, role: 'installer' });
  await ben.call('confirmJoin', { digits: asked.digits });
  await exchange(ann);
  await exchange(ben);
}
