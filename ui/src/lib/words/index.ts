// Every string on screen, in one place and ready for translation. Short, imperative, in the trade's own words.
import { base } from './base';
import { onsite } from './onsite';
import { site } from './site';
import { facts } from './facts';
import { measuring } from './measure';
import { parts } from './parts';
import { work } from './work';
import { office } from './office';
import { trial } from './trial';
import { turning } from './turning';

export const words = { ...base, ...site, ...facts, ...parts, ...measuring, ...work, ...office, ...trial, ...onsite, ...turning };
