// Every string on screen, in one place and ready for translation. Short, imperative, in the trade's own words.
import { base } from './base';
import { onsite } from './onsite';
import { site } from './site';
import { facts } from './facts';
import { measuring } from './measure';
import { parts } from './parts';
import { plan } from './plan';
import { asking } from './asking';
import { work } from './work';
import { office } from './office';
import { trial } from './trial';
import { turning } from './turning';
import { pulls } from './pulls';
import { heard } from './heard';
import { laying } from './laying';
import { marking } from './marks';

export const words = { ...base, ...site, ...facts, ...parts, ...measuring, ...work, ...office, ...trial, ...turning, ...pulls, ...heard, ...laying, ...plan, ...asking, ...onsite, ...marking };
