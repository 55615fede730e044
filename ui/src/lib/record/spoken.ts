// Notes that somebody spoke: sound files among the documents, each tied to what it is about.
import { wavOf, type Take } from '$lib/core/wav';
import type { Recorded } from '$lib/generated/api';
import { takeInDocument } from './photos';
import { pictureOf, type Shown } from './pictures';
import type { Job, Thing } from './view';

/** At most so long: some six megabytes. */
export const MOST_SECONDS = 180;
/** What is shorter was a slip of the finger. */
export const LEAST_SECONDS = 0.5;

const SOUND: Record<string, string> = { wav: 'audio/wav', m4a: 'audio/mp4', mp3: 'audio/mpeg', aac: 'audio/aac', ogg: 'audio/ogg', opus: 'audio/ogg', webm: 'audio/webm', amr: 'audio/amr', '3gp': 'audio/3gpp' };

/** The media type of a file that sounds, by its name's ending; none of any other. */
export function soundOf(name: string): string | undefined {
  return SOUND[/\.([A-Za-z0-9]+)$/.exec(name)?.[1]?.toLowerCase() ?? ''];
}

/** Marks that a disk refuses or takes for a folder. */
const UNFIT = /[\\/:*?"<>|\p{Cc}]/gu;
/** The day and hour in a file's own name. */
const WHEN = /\d{4}-\d\d-\d\d \d\d\.\d\d\.\d\d/;

export interface Spoken extends Shown {
  name: string;
  media: string;
}

/** A document that sounds; nothing of any other. */
export function spokenIn(document: Thing): Spoken | undefined {
  const media = soundOf(document.name);
  return media ? { ...pictureOf(document), name: document.name, media } : undefined;
}

/** What was spoken about a thing, the newest first. */
export function spokenOf(job: Job | undefined, subject: string): Spoken[] {
  const all = (job?.documents ?? []).flatMap((d) => spokenIn(d) ?? []);
  const when = ({ name }: Spoken) => WHEN.exec(name)?.[0] ?? '';
  return all.filter((s) => s.ties.some((t) => t.subject === subject)).sort((a, b) => when(b).localeCompare(when(a)));
}

/** The name of its file: what it is about and the day and hour here, free of marks that disks refuse. */
export function spokenName(called: string, at: Date): string {
  const two = (n: number) => String(n).padStart(2, '0');
  const when = `${at.getFullYear()}-${two(at.getMonth() + 1)}-${two(at.getDate())} ${two(at.getHours())}.${two(at.getMinutes())}.${two(at.getSeconds())}`;
  return `${called.replaceAll(UNFIT, '-')} ${when}.wav`;
}

/** Keeps what was spoken as a file among the documents, tied to the thing. */
export function keepSpoken(job: string, subject: string, take: Take, called: string): Promise<Recorded> {
  const name = spokenName(called, new Date());
  return takeInDocument(job, new File([wavOf(take)], name, { type: 'audio/wav' }), { subject, evidence: 'other' }, '');
}

/** What was spoken about a thing and could not be kept: it waits there while the page is open, whatever becomes of its card. */
export const unkept = new Map<string, Take>();

/** Whether somebody could have said something in it. */
export const isLong = ({ samples, rate }: Take): boolean => samples.length >= LEAST_SECONDS * rate;
