// Pictures as the screens show them: caption, when, where, and what each is tied to.
import { valueOf, type Job, type Known, type Thing } from './view';

export interface Shown {
  id: string;
  subject: string;
  sha: string;
  caption: string;
  taken: { ms?: number; offsetMin?: number; uncertain?: string; witness: string } | undefined;
  place: { latE7: number; lonE7: number } | undefined;
  ties: { subject: string; evidence: string; claim: string }[];
}

export function pictureOf(photo: Thing): Shown {
  const ties = Object.values(photo.facts).filter((k) => k.field === 'shows' && k.standing === 'agreed' && k.value === true);
  return {
    id: photo.id,
    subject: photo.subject,
    sha: String((photo as Thing & { sha256?: string }).sha256 ?? ''),
    caption: valueOf<string>(photo, 'caption') ?? photo.name,
    taken: valueOf(photo, 'taken'),
    place: valueOf(photo, 'position'),
    ties: ties.map((k: Known) => ({
      subject: k.place,
      evidence: String(k.tips[0]?.context.evidence ?? 'other'),
      claim: k.tips[0]?.claim ?? ''
    }))
  };
}

export function photosOf(job: Job | undefined, subject: string): Shown[] {
  return (job?.photos ?? []).map(pictureOf).filter((p) => p.ties.some((t) => t.subject === subject));
}
