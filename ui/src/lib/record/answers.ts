// What the program computes for the screens: rules, tension, cuts, parts, holes, evidence. Shapes only.
import { call } from '$lib/core/call';

export interface Finding {
  what: string;
  required: string;
  actual: string;
  margin: string;
  source: string;
  status: string;
  verdict: string;
  confirm: string;
  sentence: string;
  subject: string;
}

export interface Origin {
  name: string;
  value: string;
  origin: string;
}

export interface Ordering {
  ruleSet: string;
  attribution: string;
  findings: Finding[];
  posts: Origin[];
}

export interface TensionPlan {
  requiredN?: number;
  requiredOrigin: string;
  suggestedN?: number;
  upperN?: number;
  upperOrigin: string;
  clearN?: number;
  parts: Origin[];
  notes: string[];
}

export interface CutRow {
  wire: number;
  subject: string;
  lengthNm?: number;
  origin: string;
  cutNm?: number;
  shortestNm?: number;
  longestNm?: number;
  chance?: number;
  refusal?: string;
  fixed?: string;
  issuedNm?: number;
  cutDoneNm?: number;
  why: Origin[];
}

export interface CutSheet {
  trial?: number;
  trialDone: boolean;
  rows: CutRow[];
  notes: string[];
}

export interface Part {
  part: string;
  hand: string;
  count: string;
  basis: string;
}

export interface Hole {
  post: string;
  face: string;
  wire: number;
  heightNm: number;
  diameterNm: number;
  depth: string;
  hand: string;
  note: string;
}

export const loadOrdering = (job: string) => call('ordering', { job }) as Promise<Ordering>;
export const loadTensionPlan = (job: string, run: string) => call('tensionPlan', { job, run }) as Promise<TensionPlan>;
export const loadCuts = (job: string, run: string) => call('cutSheet', { job, run }) as Promise<CutSheet>;
export const issueCuts = (job: string, run: string, wires: number[]) => call('issueCuts', { job, run, wires }) as Promise<unknown>;
export const loadTakeOff = (job: string) => call('takeOff', { job }) as Promise<{ parts: Part[]; notes: string[] }>;
export const loadHoles = (job: string, run: string) => call('holes', { job, run }) as Promise<{ holes: Hole[]; notes: string[] }>;

export interface Lacking {
  key: string;
  name: string;
  why: string;
  evidence: string;
  subject: string;
  picture: boolean;
  room: string;
}

export interface Missing {
  lacking: Lacking[];
  waived: Lacking[];
  there: Lacking[];
}

export interface HandedOver {
  folder: string;
  files: { name: string; size: string }[];
}

export interface Verified {
  ok: boolean;
  said: string;
}

export const loadMissing = (job: string) => call('missing', { job }) as Promise<Missing>;

export async function startHandover(job: string, folder: string): Promise<string> {
  return ((await call('startHandover', { job, folder })) as { task: string }).task;
}

export async function startVerify(folder: string): Promise<string> {
  return ((await call('startVerify', { folder })) as { task: string }).task;
}
