/** The real machine behind the command line. */
import {
  closeSync,
  existsSync,
  mkdirSync,
  openSync,
  readdirSync,
  readSync,
  renameSync,
  rmSync,
  statSync,
  writeFileSync,
} from 'node:fs';
import { basename, dirname, join } from 'node:path';
import { threadId } from 'node:worker_threads';
import { startBesides } from './besides.ts';
import type { Host } from './host.ts';

const CHUNK_BYTES = 1 << 20;

export function nodeHost(): Host {
  return {
    open(path) {
      if (!existsSync(path) || !statSync(path).isFile()) return null;
      const { size } = statSync(path);
      return {
        name: basename(path),
        size,
        *chunks() {
          const handle = openSync(path, 'r');
          try {
            for (let at = 0; at < size;) {
              const chunk = new Uint8Array(Math.min(CHUNK_BYTES, size - at));
              const read = readSync(handle, chunk, 0, chunk.length, at);
              if (read === 0) return;
              yield read === chunk.length ? chunk : chunk.subarray(0, read);
              at += read;
            }
          } finally {
            closeSync(handle);
          }
        },
      };
    },
    kind(path) {
      if (!existsSync(path)) return 'nothing';
      return statSync(path).isDirectory() ? 'folder' : 'file';
    },
    list: (folder) => (existsSync(folder) ? readdirSync(folder).sort() : []),
    write(path, content) {
      mkdirSync(dirname(path), { recursive: true });
      const unfinished = `${path}.unfinished-${process.pid}-${threadId}`;
      if (content instanceof Uint8Array) writeFileSync(unfinished, content);
      else {
        const handle = openSync(unfinished, 'w');
        try {
          for (const chunk of content.chunks()) writeFileSync(handle, chunk);
        } finally {
          closeSync(handle);
        }
      }
      renameSync(unfinished, path);
    },
    remove: (path) => rmSync(path, { force: true, recursive: true }),
    join,
    baseName: (path) => basename(path),
    out: (text) => void process.stdout.write(text),
    err: (text) => void process.stderr.write(text),
    besides: startBesides,
    showsProgress: process.stderr.isTTY ?? false,
  };
}
