/** The worker's file: the coordinator that the page talks to, or, started by that one from the same file, a computer beside it. */
import { BESIDES, serveBesides } from './besides.ts';
import { serveCore } from './core.ts';

if (self.name === BESIDES) serveBesides();
else serveCore();
