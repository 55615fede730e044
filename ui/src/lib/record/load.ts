// From the program's job view to the things that screens read. Pure; decides nothing.
import type { BayProgress, BayView, DefectView, FactView, JobView, PictureView, PostView, Progress, RunTensions, RunView, ThingView, WireProgress, WireView, WordView } from '$lib/generated/api';
import type { Bay, Job, Known, Post, Run, Standing, Thing, Tip, Wire } from './view';

const NM = 1_000_000;

export function tipOf(word: WordView): Tip {
  return {
    claim: word.entry,
    value: word.value,
    who: word.who,
    at: { ms: word.atMs, offsetMin: word.offsetMin, suspect: word.timeSuspect },
    context: (word.with ?? {}) as Record<string, unknown>
  };
}

export function knownOf(subject: string, fact: FactView): Known {
  const standing = fact.words.filter((w) => w.stands);
  return {
    subject,
    field: fact.field,
    place: fact.place,
    standing: fact.standing as Standing,
    value: fact.standing === 'agreed' ? (standing.at(-1)?.value ?? null) : null,
    tips: standing.map(tipOf),
    ...(fact.readAgain ? { readAgain: true as const } : {})
  };
}

/** Facts by field and place; readings that may repeat apart from values that stand alone. */
export function factsOf(subject: string, list: FactView[]): Pick<Thing, 'facts' | 'repeats'> {
  const facts: Thing['facts'] = {};
  const repeats: Thing['repeats'] = {};
  for (const fact of list) {
    const known = knownOf(subject, fact);
    if (!fact.many) facts[fact.place ? `${fact.field}@${fact.place}` : fact.field] = known;
    else if (fact.standing !== 'withdrawn') (repeats[fact.field] ??= []).push(known);
  }
  return { facts, repeats };
}

export function thingOf(view: ThingView): Thing {
  return { subject: view.subject, id: view.id, name: view.name, ...factsOf(view.subject, view.facts) };
}

/** A fact told by the program's summary: one word, already agreed. */
function plain(subject: string, field: string, place: string, value: unknown, more: Partial<Tip> = {}): Known {
  const tip: Tip = { claim: '', value, who: '', at: { ms: 0, offsetMin: 0, suspect: false }, context: {}, ...more };
  return { subject, field, place, standing: 'agreed', value, tips: [tip] };
}

const idOf = (subject: string) => subject.split(':')[1] ?? '';

export function jobOf(view: JobView, progress: Progress[], tensions: RunTensions[]): Job {
  const own = factsOf(view.subject, view.facts);
  return {
    subject: view.subject,
    id: view.job,
    name: view.title,
    ...own,
    runs: view.runs.map((r) => runOf(r, progress.find((p) => p.run === r.id), tensions.find((t) => t.run === r.id))),
    tools: view.tools.map(thingOf),
    batches: view.batches.map(thingOf),
    visits: view.visits.map(thingOf),
    strands: view.strands.map(thingOf),
    fittingSets: view.fittingSets.map(thingOf),
    photos: view.photos.map(pictureThing),
    documents: view.documents.map(pictureThing),
    defects: view.defects.map(defectThing),
    signOffs: [...view.signOffs].sort((a, b) => a.atMs - b.atMs),
    unsettled: view.unsettled.map((u) => ({ subject: u.subject, name: u.name, field: u.fact.field, newer: u.fact.standing === 'newer', known: knownOf(u.subject, u.fact) })),
    noLonger: view.noLonger
  };
}

function runOf(run: RunView, progress: Progress | undefined, read: RunTensions | undefined): Run {
  const facts: Thing['facts'] = {};
  if (run.tensions) facts.tensions = plain(run.subject, 'tensions', '', run.tensions);
  if (run.surface) facts.surface = plain(run.subject, 'surface', '', run.surface);
  return {
    subject: run.subject,
    id: run.id,
    name: run.name,
    shape: run.shape,
    trialWire: run.trialWire,
    ...(run.endKinds ? { endKinds: run.endKinds } : {}),
    ...(read ? { read } : {}),
    facts,
    repeats: {},
    posts: run.posts.map((p) => postOf(p, run)),
    ...(run.betweenMm === null ? {} : { betweenNm: Math.round(run.betweenMm * NM) }),
    bays: run.bays.map((b) => bayOf(b, run, progress?.bays.find((p) => p.subject === b.subject))),
    wires: run.wires.map((w) => wireOf(w, run, progress?.wires.find((p) => p.wire === w.number)))
  };
}

function postOf(post: PostView, run: RunView): Post {
  const facts: Thing['facts'] = {};
  const at = (field: string, place: string, value: unknown) => (facts[place ? `${field}@${place}` : field] = plain(post.subject, field, place, value));
  if (post.positionMm !== null) at('position', run.id, { nm: Math.round(post.positionMm * NM) });
  if (post.section) at('section', '', post.section);
  if (post.end) at('end', run.id, post.end);
  if (post.floorMm !== null) at('floor', '', { nm: Math.round(post.floorMm * NM) });
  return { subject: post.subject, id: post.id, name: post.name, role: post.role, facts, repeats: {} };
}

function bayOf(bay: BayView, run: RunView, progress: BayProgress | undefined): Bay {
  const [a = '', b = ''] = bay.place.split(':');
  const repeats: Thing['repeats'] = { gaps: bay.gaps.map((g) => {
    const value = { result: g.stops === null ? '' : g.stops ? 'stops' : 'passes' };
    const place = g.aboveWire === null ? run.id : `${run.id}/${g.aboveWire}`;
    return plain(bay.subject, 'gaps', place, value, { claim: g.entry, at: { ms: g.atMs, offsetMin: g.offsetMin, suspect: false } });
  }) };
  if (bay.measured && bay.clearMm !== null) repeats.clear = [plain(bay.subject, 'clear', '', { nm: Math.round(bay.clearMm * NM) })];
  const counted = repeats.clear?.[0]?.value as { nm: number } | undefined;
  return {
    subject: bay.subject, id: idOf(bay.subject), name: bay.name, place: bay.place, posts: [a, b],
    gaps: progress?.gaps ?? 'none', passesAbove: progress?.passesAbove ?? [],
    ...(progress?.gapsWhy ? { gapsWhy: progress.gapsWhy } : {}), ...(counted ? { clearNm: counted.nm } : {}),
    facts: {}, repeats
  };
}

function wireOf(wire: WireView, run: RunView, progress: WireProgress | undefined): Wire {
  const { subject, piece } = wire;
  const facts: Thing['facts'] = {};
  const repeats: Thing['repeats'] = {};
  if (wire.issuedMm !== null) facts[`cutIssued@${piece}`] = plain(subject, 'cutIssued', String(piece), { cutNm: Math.round(wire.issuedMm * NM) });
  if (wire.cutMm !== null) facts[`cut@${piece}`] = plain(subject, 'cut', String(piece), { nm: Math.round(wire.cutMm * NM) });
  for (const act of wire.done) facts[`done@${act}/${piece}`] = plain(subject, 'done', `${act}/${piece}`, true);
  if (wire.lastReadMm !== null && wire.length.kind !== 'disputed') {
    const context = wire.length.kind === 'quoteOnly' ? { purpose: 'quote' } : wire.length.kind === 'tooEarly' ? { purpose: 'cut', posts: wire.length.posts } : {};
    const nm = Math.round((wire.length.kind === 'cuttable' ? wire.length.mm : wire.lastReadMm) * NM);
    repeats.length = [plain(subject, 'length', '', { nm }, { context })];
  }
  repeats.crimp = wire.crimps.map((c, i) => plain(subject, 'crimp', c.post, { result: c.result ?? '', reason: c.reason ?? undefined }, { claim: c.entry, at: { ms: i, offsetMin: 0, suspect: false }, context: { piece: c.piece } }));
  repeats.tension = wire.tensions.flatMap((t) => t.newtons === null ? [] : [plain(subject, 'tension', t.bay, { mn: Math.round(t.newtons * 1000) }, {
    claim: t.entry, who: t.who, at: { ms: t.atMs, offsetMin: t.offsetMin, suspect: false }, context: { ...t.with, stage: t.stage, pass: t.pass ?? undefined, piece }
  })]);
  return { subject, id: `${run.id}:${wire.number}`, name: `${wire.number}`, number: wire.number, piece, facts, repeats, state: stateOf(progress), flags: progress?.flags ?? [], stage: progress?.stage ?? 'none', looked: progress?.looked ?? false, interpolated: progress?.interpolated ?? false, ...(progress?.releaseMoved ? { releaseMoved: progress.releaseMoved } : {}), ...(wire.length.kind === 'cuttable' ? { counted: { nm: Math.round(wire.length.mm * NM), spreadNm: Math.round(wire.length.spreadMm * NM) } } : {}) };
}

/** How far a wire has come, as the drawing shows it: what stands out goes before how far it is. */
function stateOf(progress: WireProgress | undefined): string {
  if (!progress) return 'none';
  if (progress.flag !== 'none') return progress.flag;
  return progress.stage === 'measured' && progress.interpolated ? 'interpolated' : progress.stage;
}

function pictureThing(p: PictureView): Thing & { view: PictureView } {
  const facts: Thing['facts'] = { caption: plain(p.subject, 'caption', '', p.caption) };
  if (p.marks) facts.marks = knownOf(p.subject, p.marks);
  return { subject: p.subject, id: idOf(p.subject), name: p.caption, facts, repeats: {}, view: p };
}

function defectThing(d: DefectView): Thing {
  const facts: Thing['facts'] = { found: plain(d.subject, 'found', '', d.found, { claim: d.entry }) };
  if (d.about) facts.about = plain(d.subject, 'about', '', { subject: d.about });
  if (d.closed !== null) facts.closed = plain(d.subject, 'closed', '', { how: d.closed });
  return { subject: d.subject, id: idOf(d.subject), name: d.found, facts, repeats: {} };
}
