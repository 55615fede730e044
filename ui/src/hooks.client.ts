// Runs before the router reads the address: the host's token must be out of the hash by then.
import { readAllHere } from '$lib/core/kept-here';
import { keepToken } from '$lib/core/transport';

keepToken();

/** The first screen begins with what this device keeps. */
export const init = readAllHere;
