// A surveyed run brought so far by the list of commands, where a journey is about what comes after.

/** Lengths for cutting and the tensions of the worked job, on its first run. */
export async function decided(host, job, run) {
  for (const [wire, text] of [[1, '7294'], [6, '7300'], [12, '7305']]) {
    await host.call('measure', { job, run: run.id, wire, length: { text }, purpose: 'cut', posts: 'insertsIn', faces: 'insertFaces', instrument: 'tape', confirmed: true });
  }
  const tensions = { requiredMn: 1_330_000, setMn: 1_500_000, upperMn: 1_800_000, passesMn: [600_000, 1_100_000, 1_500_000], requiredOrigin: 'table', upperOrigin: 'designer' };
  // As surveyed, the long bay asks more; the journeys are about other things, so the question is answered.
  await host.call('setTensions', { job, run: run.id, tensions, confirmed: true });
}

/** What stands of a field of a subject, by place; each word with its value and context. */
export async function stands(host, job, subject, field, place) {
  const { facts } = await host.call('readSubject', { job, subject, history: true });
  return facts.filter((f) => f.field === field && (place === undefined || f.place === place)).flatMap((f) => f.words.filter((w) => w.stands));
}
