/** A machine without a disk: the command line runs on it as `run(args, host)`, and a test reads what it printed and wrote. */
import type { Host } from '../../src/cli/host.ts';
import { bytesOf } from '../../src/cli/host.ts';
import type { ExitCode } from '../../src/cli/command.ts';
import { run } from '../../src/cli/run.ts';
import { openArchive, writeArchive } from '../../shared/import/archive.ts';
import type { ByteSource } from '../../shared/model/records.ts';
import { sourceOf } from './bundle.ts';

export interface Ran {
  readonly code: ExitCode;
  readonly out: string;
  readonly err: string;
}

export class MemoryHost implements Host {
  readonly files = new Map<string, Uint8Array>();
  /** Sources that give their bytes only when read: files too large to hold. */
  readonly lazy = new Map<string, ByteSource>();
  readonly showsProgress: boolean = false;
  private printed = '';
  private complained = '';

  constructor(files: Readonly<Record<string, string | Uint8Array>> = {}) {
    for (const [path, content] of Object.entries(files)) this.put(path, content);
  }

  put(path: string, content: string | Uint8Array): void {
    this.files.set(path, typeof content === 'string' ? new TextEncoder().encode(content) : content);
  }

  /** Runs one command and gives its exit code and what it printed. */
  run(...args: string[]): Ran {
    [this.printed, this.complained] = ['', ''];
    const code = run(args, this);
    return { code, out: this.printed, err: this.complained };
  }

  /** What a command prints with --json, read. */
  json<T>(...args: string[]): T {
    const { out, err } = this.run(...args, '--json');
    if (out === '') throw new Error(`nothing on stdout; stderr: ${err}`);
    return JSON.parse(out) as T;
  }

  /** Another machine with the same files. */
  copy(): MemoryHost {
    const other = new MemoryHost();
    for (const [path, content] of this.files) other.files.set(path, content);
    return other;
  }

  putZip(path: string, entries: Readonly<Record<string, Uint8Array>>): void {
    this.files.set(path, writeArchive(Object.entries(entries).map(([name, bytes]) => ({ name, bytes }))));
  }

  putInZip(path: string, name: string, content: Uint8Array): void {
    this.putZip(path, { ...Object.fromEntries(this.entriesOf(path)), [name]: content });
  }

  namesInZip(path: string): string[] {
    return this.entriesOf(path).map(([name]) => name);
  }

  textInZip(path: string, name: string): string {
    return new TextDecoder().decode(new Map(this.entriesOf(path)).get(name)!);
  }

  private entriesOf(path: string): [string, Uint8Array][] {
    const opened = openArchive(this.files.get(path)!);
    if (!opened.ok) throw new Error(opened.problems[0]!.text);
    return opened.value.map((entry) => {
      const content = entry.read();
      if (!content.ok) throw new Error(content.problems[0]!.text);
      return [entry.name, content.value];
    });
  }

  text(path: string): string {
    const bytes = this.files.get(path);
    if (!bytes) throw new Error(`no file ${path} among ${[...this.files.keys()].join(', ')}`);
    return new TextDecoder().decode(bytes);
  }

  open(path: string): ByteSource | null {
    const lazy = this.lazy.get(path);
    if (lazy) return lazy;
    const bytes = this.files.get(path);
    return bytes ? sourceOf(this.baseName(path), bytes, 1 << 16) : null;
  }

  kind(path: string): 'file' | 'folder' | 'nothing' {
    if (this.files.has(path) || this.lazy.has(path)) return 'file';
    const inside = path.endsWith('/') ? path : `${path}/`;
    return [...this.files.keys()].some((one) => one.startsWith(inside)) ? 'folder' : 'nothing';
  }

  list(folder: string): string[] {
    const inside = `${folder}/`;
    const names = [...this.files.keys()].filter((one) => one.startsWith(inside));
    return [...new Set(names.map((one) => one.slice(inside.length).split('/')[0]!))].sort();
  }

  write(path: string, content: Uint8Array | ByteSource): void {
    this.files.set(path, content instanceof Uint8Array ? content : bytesOf(content));
  }

  remove(path: string): void {
    for (const one of [...this.files.keys()]) if (one === path || one.startsWith(`${path}/`)) this.files.delete(one);
  }

  join(...parts: string[]): string {
    return parts.filter((one) => one !== '').join('/');
  }

  baseName(path: string): string {
    return path.split('/').at(-1)!;
  }

  out(text: string): void {
    this.printed += text;
  }

  err(text: string): void {
    this.complained += text;
  }
}
