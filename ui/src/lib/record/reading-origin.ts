// Where a tension reading is from: gauge, scale, chart, bay and temperature, each in a line. Pure.
import { celsius, withDays } from '$lib/core/format.svelte';
import { words } from '$lib/words';
import { wordFor } from '$lib/words/site';
import { bayNameOf } from './names';
import type { Job } from './view';
import type { Reading } from './wires';

/** What was set with a reading, told whole: what nobody told is named as such where a gauge was read. */
export function originOf(job: Job | undefined, reading: Reading): string[] {
  const w = words.readingFrom;
  const context = reading.known.tips[0]?.context ?? {};
  const text = (v: unknown) => (typeof v === 'string' && v.trim() ? v.trim() : undefined);
  const line = (name: string, value: string | undefined, always = false) => (value ? [`${name}: ${value}`] : always ? [`${name}: ${w.untold}`] : []);
  const byGauge = reading.method === 'gauge';
  const gauge = job?.tools.find((t) => t.id === context.gauge)?.name ?? text(context.gauge);
  const degrees = (v: number | undefined) => (v === undefined ? undefined : celsius(v));
  const told = context.told as { numbers?: { name?: string; value?: string }[] } | undefined;
  const rests = (told?.numbers ?? []).map((n) => [n.name, n.value].filter(Boolean).join(' ')).filter(Boolean);
  return [
    ...(byGauge ? line(w.gauge, gauge, true) : [wordFor(words.heard.ways, reading.method)]),
    ...line(w.scale, text(context.raw)),
    ...line(w.chart, text(context.chart)),
    ...line(w.typed, text(context.entered)),
    ...line(w.bay, bayNameOf(job, reading.place)),
    ...line(w.air, degrees(reading.airC)),
    ...line(w.wire, [degrees(reading.wireC), wordFor(words.sun, text(context.sun))].filter(Boolean).join(', '), byGauge && reading.airC === undefined),
    ...line(w.repeat, typeof context.repeat === 'number' ? String(context.repeat) : undefined),
    ...line(words.why, text(context.reason)),
    ...(rests.length > 0 ? [`${w.rests}: ${withDays(rests.join(', '))}`] : [])
  ];
}
