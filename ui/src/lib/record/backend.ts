// The record's commands as the screens use them: the only place that knows their shapes.
import { call } from '$lib/core/call';
import type { Job } from './view';

export interface NewClaim {
  subject: string;
  field: string;
  place?: string;
  value: unknown;
  context?: Record<string, unknown>;
}

export async function loadJob(job: string): Promise<Job> {
  return (await call('job', { job })) as Job;
}

export async function writeClaims(job: string, claims: NewClaim[]): Promise<string[]> {
  return ((await call('record', { job, claims })) as { claims: string[] }).claims;
}

export async function withdrawClaims(job: string, claims: string[], reason: string): Promise<void> {
  await call('withdraw', { job, claims, reason });
}

/** One word on a key, as it stands in the record's order. */
export interface Past {
  claim: string;
  value: unknown;
  who: string;
  at: { ms: number; offsetMin: number; suspect: boolean };
  context: Record<string, unknown>;
  stands: string;
}

export async function loadHistory(job: string, subject: string, field: string, place: string): Promise<Past[]> {
  return ((await call('history', { job, subject, field, place })) as { past: Past[] }).past;
}

export interface PhotoIn {
  upload: string;
  bytes: number;
  name: string;
  caption: string;
  tie: { subject: string; evidence: string };
  at?: { ms: number; offsetMin: number };
  position?: { latE7: number; lonE7: number; accuracyNm?: number };
}

export async function addPhoto(job: string, photo: PhotoIn): Promise<void> {
  await call('addPhoto', { job, ...photo });
}

export interface DocumentIn {
  upload: string;
  bytes: number;
  name: string;
  file: string;
  tie: { subject: string; evidence: string };
}

export async function addDocument(job: string, document: DocumentIn): Promise<void> {
  await call('addDocument', { job, ...document });
}
