// wants: node:fs
export { readFileSync } from 'node:fs';
