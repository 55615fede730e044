// Pictures and documents as the screens show them: caption, when, where, and what each is tied to.
import type { Evidence, FileView, PictureView } from '$lib/generated/api';
import type { Job, Known, Thing } from './view';

/** A picture or document among the job's things. */
export interface PictureThing extends Thing {
  view: PictureView;
}

export interface Shown {
  id: string;
  subject: string;
  original: string;
  caption: string;
  taken: PictureView['taken'];
  place: [number, number] | undefined;
  doubts: string[];
  by: string;
  entry: string;
  ties: { subject: string; name: string; evidence: string }[];
  files: FileView[];
  /** What is or was marked on a copy of it; none where nobody marked anything. */
  marked: Known | undefined;
}

export function pictureOf(thing: Thing): Shown {
  const { view } = thing as PictureThing;
  return {
    id: thing.id,
    subject: thing.subject,
    original: hashOf(view.files, 'original'),
    caption: view.caption,
    taken: view.taken,
    place: view.position ?? undefined,
    doubts: view.doubts,
    by: view.by,
    entry: view.entry,
    ties: view.shows,
    files: view.files,
    marked: thing.facts.marks
  };
}

/** The hash of the object in this role; the original's where there is no such preview. */
export function hashOf(files: FileView[], role: 'original' | 'view' | 'thumb'): string {
  return (files.find((f) => f.role === role) ?? files.find((f) => f.role === 'original') ?? files[0])?.sha256 ?? '';
}

/** Whether a picture was kept without anything to show: its original lies here, too large to be decoded. */
export const unseen = (files: FileView[]): boolean => files.some((f) => f.role === 'original') && !files.some((f) => f.role === 'view');

/** The pictures tied to a subject; of some sorts of evidence alone where these are named. */
export function photosOf(job: Job | undefined, subject: string, only?: Evidence[], without: Evidence[] = []): Shown[] {
  const belongs = (evidence: Shown['ties'][number]['evidence']) => (only?.some((e) => e === evidence) ?? true) && !without.some((e) => e === evidence);
  return (job?.photos ?? []).map(pictureOf).filter((p) => p.ties.some((t) => t.subject === subject && belongs(t.evidence)));
}

/** Those that are tied to nothing yet. */
export const untiedOf = (pictures: Shown[]): Shown[] => pictures.filter((p) => p.ties.length === 0);

/** The form in which a picture is taken again. */
export const againSpot = (picture: Pick<Shown, 'subject'>): string => `again-${picture.subject}`;
