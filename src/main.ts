#!/usr/bin/env node
// All there is stands one folder further down once it is built, so that paths to the package's own files stay what they are here.
await import('./start.js');
