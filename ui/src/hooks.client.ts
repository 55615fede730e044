// Runs before the router reads the address: the host's token must be out of the hash by then.
import { keepToken } from '$lib/core/transport';

keepToken();
