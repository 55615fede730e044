// The record's commands as the screens use them: the only place that knows their shapes.
import { call } from '$lib/core/call';
import type { Shapes } from '$lib/core/drawing';
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

export interface Listed {
  id: string;
  title: string;
  place: string;
  lacks: string[];
  disputes: number;
}

export async function loadJobs(): Promise<Listed[]> {
  return ((await call('jobs', {})) as { jobs: Listed[] }).jobs;
}

export async function createJob(title: string, place: string, rules: string | undefined): Promise<string> {
  return ((await call('createJob', { title, place, rules })) as { job: string }).job;
}

export async function loadRuleSets(): Promise<[string, string][]> {
  return ((await call('ruleSets', {})) as { ruleSets: { id: string; name: string }[] }).ruleSets.map((r) => [r.id, r.name]);
}

export interface Me {
  person: string;
  device: string;
}

export async function loadMe(): Promise<Me> {
  return (await call('me', {})) as Me;
}

export async function nameMe(person: string): Promise<Me> {
  return (await call('setMe', { person })) as Me;
}

export interface Flagged {
  kind: 'bad' | 'warn' | 'info';
  text: string;
  subject: string;
  /** Room of the run or job where it is put right. */
  room: string;
}

export interface NextAct {
  text: string;
  detail: string;
  run: string;
  room: string;
}

export async function loadDrawing(job: string, run: string): Promise<Shapes> {
  return (await call('drawing', { job, run })) as Shapes;
}

/** What needs attention and the next useful act, per job. */
export async function loadNext(job: string): Promise<{ flags: Flagged[]; next: NextAct | undefined; counts: Count[] }> {
  return (await call('next', { job })) as { flags: Flagged[]; next: NextAct | undefined; counts: Count[] };
}

export interface Count {
  run: string;
  name: string;
  done: number;
  of: number;
  room: string;
}

export interface TensionDecision {
  requiredMn: number;
  setMn: number;
  upperMn: number;
  passesMn: number[];
  requiredOrigin: string;
  upperOrigin: string;
}

export async function decideTensions(job: string, run: string, decision: TensionDecision): Promise<void> {
  await call('decideTensions', { job, run, ...decision });
}

export async function chooseRuleSet(job: string, ruleSet: string): Promise<void> {
  await call('chooseRuleSet', { job, ruleSet });
}

export async function signOff(job: string, stage: string, statement: string): Promise<void> {
  await call('signOff', { job, stage, statement });
}

export interface Member {
  device: string;
  name: string;
  role: string;
  self: boolean;
}

export interface Joiner {
  device: string;
  name: string;
  digits: string;
}

export interface ExchangeState {
  folder: string;
  toShare: number;
  /** In plain words: what is waiting for what. */
  waiting: string[];
  aside: { name: string; reason: string }[];
  last: { ms: number; offsetMin: number } | null;
  members: Member[];
  joiners: Joiner[];
  /** This device's own digits while it waits to be admitted. */
  ownDigits: string;
}

export async function loadExchange(): Promise<ExchangeState> {
  return (await call('exchange', {})) as ExchangeState;
}

export async function shareFolder(folder: string): Promise<void> {
  await call('share', { folder });
}

export async function joinFolder(folder: string, person: string): Promise<void> {
  await call('join', { folder, person });
}

export async function confirmDigits(digits: string): Promise<void> {
  await call('confirmJoin', { digits });
}

export async function admitDevice(device: string, digits: string, role: string): Promise<void> {
  await call('admit', { device, digits, role });
}

export async function startSync(): Promise<string> {
  return ((await call('startSync', {})) as { task: string }).task;
}
