// Exchange and crew: how things stand, sharing, joining, admitting.
import { call } from '$lib/core/call';
import type { Applicants, Digits, MemberView, Overview, Role } from '$lib/generated/api';
import { crews } from '$lib/words/crews';
import { toldOf, type Line } from './report';

export type { Digits };

export interface ExchangeState {
  folder: string;
  /** The folder in which this device asked to join and has not compared the digits yet. */
  joining: string;
  /** Whether the crew counts this device, as far as is known here. */
  admitted: boolean;
  /** Whether this device may admit others. */
  admits: boolean;
  /** This device's record has two branches: a copy of its data was used elsewhere. */
  forked: boolean;
  /** Why it can record nothing under its present identity; empty where it can. */
  trouble: string;
  unshared: number;
  lastMs: number | undefined;
  waiting: string[];
  aside: Line[];
  strange: string[];
  members: MemberView[];
  person: string;
}

/** How the exchange stands, without looking at the folder. */
export async function loadExchange(): Promise<ExchangeState> {
  const answer = await call('readExchange', {});
  const last = toldOf(answer.last);
  const overview: Overview = await call('overview', {});
  const crew = overview.crews.find((c) => c.current);
  const members = crew?.members ?? [];
  const own = members.find((m) => m.thisDevice);
  return {
    folder: answer.folder ?? '',
    joining: answer.joining ?? '',
    admitted: crew?.admitted ?? false,
    admits: own?.keeper === true && !own.ended,
    // The last exchange knows of branches in any job; under a new identity that report tells of the old one.
    forked: own !== undefined && (own.forked || last.forked),
    trouble: overview.trouble ?? (own?.ended ? crews.ended : ''),
    unshared: answer.unshared,
    lastMs: answer.lastMs ?? undefined,
    waiting: [...last.waiting, ...answer.notHere.map((n) => n.words)],
    aside: last.aside,
    strange: last.strange,
    members,
    person: overview.person ?? ''
  };
}

export async function shareFolder(folder: string): Promise<void> {
  await call('share', { folder });
}

export async function joinFolder(folder: string): Promise<Digits> {
  return call('join', { folder });
}

export async function confirmJoin(digits: string): Promise<void> {
  await call('confirmJoin', { digits });
}

/** Devices that ask to be admitted, the next ones after a device, and how many more come then; looks into the folder. */
export function loadApplicants(after?: string): Promise<Applicants> {
  return call('applicants', after ? { after } : {});
}

/** One that says by another name to be a person of the crew is questioned; `asKnown` says yes to it. */
export async function admitDevice(device: string, digits: string, role: Role, asKnown = false): Promise<void> {
  await call('admit', { device, digits, role, asKnown });
}

/** Goes on as another device, which must be admitted again: then true. The only one who may admit keeps its identity and goes on before what is damaged. Questioned where entries were not sent or are left; `leaveUnsent` says yes to it. */
export async function takeNewIdentity(leaveUnsent: boolean): Promise<boolean> {
  const before = await call('overview', {});
  const after = await call('newIdentity', { leaveUnsent });
  return before.device !== after.device;
}

/** Keeps a listed job on this device from the next exchange on. */
export async function keepJob(job: string): Promise<void> {
  await call('keepJob', { job });
}

/** Ends a device that is lost or given away: what it recorded so far counts, nothing after it. Questioned first. */
export async function endDevice(device: string, confirmed: boolean): Promise<void> {
  await call('endDevice', { device, confirmed });
}

/** Chooses the crew whose jobs are listed. */
export function chooseCrew(crew: string): Promise<Overview> {
  return call('chooseCrew', { crew });
}

/** Says whether exchanges bring every job of the crew, or those that were chosen here. */
export function keepJobs(all: boolean): Promise<Overview> {
  return call('keepJobs', { all });
}

/** With `everything` also what lies there already is read, and what was damaged is written again. */
export async function startSync(everything = false): Promise<string> {
  return (await call('startSync', { everything })).task;
}
