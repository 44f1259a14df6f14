/**
 * `npm run bench [NAME…]`: every *.bench.ts here but the long ones, or the named ones, each in a process of its own; then one table.
 * A missed target is printed, not an error; the exit code is 1 only where a program failed to run.
 */
import { fork } from 'node:child_process';
import { readdirSync } from 'node:fs';
import { availableParallelism, cpus, loadavg } from 'node:os';
import { fileURLToPath } from 'node:url';
import { buildCommandLine } from './built.mjs';

const here = fileURLToPath(new URL('.', import.meta.url));
const all = readdirSync(here)
  .filter((file) => file.endsWith('.bench.ts'))
  .map((file) => file.slice(0, -'.bench.ts'.length))
  .sort();
/** Run only when named: they take many minutes. */
const long = ['infested-cover', 'many-fields'];
const wanted = process.argv.slice(2);
const unknown = wanted.filter((name) => !all.includes(name));
if (unknown.length > 0) {
  console.error(`There is no benchmark ${unknown.join(', ')}. Benchmarks: ${all.join(', ')}.`);
  process.exit(1);
}

const cores = availableParallelism();
console.log(`${cpus()[0]?.model.trim() ?? 'unknown processor'}, ${cores} cores, Node ${process.versions.node}`);
if (loadavg()[0] > 0.5) {
  console.log(
    `WARNING: other work runs beside (load average ${loadavg()[0].toFixed(1)} on ${cores} cores): times on the clock are too long; CPU times and ratios hold better.`,
  );
}
await buildCommandLine();

const rows = [];
let busiest = loadavg()[0];
const failed = [];
for (const name of wanted.length > 0 ? wanted : all.filter((name) => !long.includes(name))) {
  const title = name.replaceAll('-', ' ');
  const before = loadavg()[0];
  console.log(`\n${title[0].toUpperCase()}${title.slice(1)}\n`);
  busiest = Math.max(busiest, before);
  const { code, told } = await runProgram(`${here}${name}.bench.ts`);
  console.log(`(load average ${before.toFixed(1)} before, ${loadavg()[0].toFixed(1)} after)`);
  if (code === 0) rows.push(...told.map((row) => ({ program: title, ...row })));
  else failed.push(name);
}
printTable(rows);
if (busiest > cores / 2 && rows.some((row) => row.met === false)) {
  console.log(
    `\nOther work ran beside (load average up to ${busiest.toFixed(1)} on ${cores} cores): a time on the clock that missed its target there says little; look at the CPU time.`,
  );
}
for (const name of failed) console.error(`${name} failed to run.`);
process.exitCode = failed.length > 0 ? 1 : 0;

function runProgram(file) {
  return new Promise((resolve) => {
    const child = fork(`${here}program.mjs`, [file], { stdio: 'inherit' });
    let told = [];
    child.on('message', (rows) => (told = rows));
    child.on('exit', (code) => resolve({ code, told }));
  });
}

function printTable(lines) {
  if (lines.length === 0) return;
  const cells = [
    ['program', 'what', 'measured', 'target', ''],
    ...lines.map(({ program, what, measured, target, met }) => [
      program,
      what,
      measured,
      target,
      met === null ? '' : met ? 'met' : 'MISSED',
    ]),
  ];
  const widths = cells[0].map((_, column) => Math.max(...cells.map((line) => line[column].length)));
  console.log();
  for (const line of cells) {
    console.log(
      line
        .map((cell, column) => (column === 2 ? cell.padStart(widths[column]) : cell.padEnd(widths[column])))
        .join('  ')
        .trimEnd(),
    );
  }
}
