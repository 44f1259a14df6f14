/**
 * Fills the README's marked parts from real runs: `node tests/support/write-readme.mjs` after `npm test` (which leaves
 * test-results/agreement.jsonl) and `npm run build:cli`.
 */
import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

const run = (...args) =>
  execFileSync('node', ['dist-cli/seedfall.mjs', ...args], { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] });
const folder = mkdtempSync(join(tmpdir(), 'seedfall-'));
const sample = join(folder, 'sample');
const shown = (text) => text.replaceAll(sample, 'sample').replaceAll(folder, '');

const parts = {
  overview: block('$ seedfall --help', run('--help')),
  study: block('$ seedfall sample sample\n$ seedfall study sample', run('sample', sample) + run('study', sample)),
  working: block(
    '$ seedfall working sample fields/elbow/yieldLossMoney',
    run('working', sample, 'fields/elbow/yieldLossMoney'),
  ),
  agreement: agreement(),
};
rmSync(folder, { recursive: true });

let text = readFileSync('README.md', 'utf8');
for (const [name, part] of Object.entries(parts)) {
  text = text.replace(
    new RegExp(`<!-- begin: ${name} -->[^]*?<!-- end: ${name} -->`),
    () => `<!-- begin: ${name} -->\n${part}\n<!-- end: ${name} -->`,
  );
}
writeFileSync('README.md', text);

function block(command, output) {
  return `\n\`\`\`text\n${command}\n${shown(output).trimEnd()}\n\`\`\`\n`;
}

/** The largest error of each quantity over the lines that the tests left. */
function agreement() {
  const file = 'test-results/agreement.jsonl';
  if (!existsSync(file)) throw new Error(`${file} is missing: run npm test first`);
  const rows = new Map();
  for (const line of readFileSync(file, 'utf8').trim().split('\n')) {
    const one = JSON.parse(line);
    const key = `${one.topic} · ${one.what}`;
    const known = rows.get(key);
    if (!known || one.largestError > known.largestError) rows.set(key, one);
  }
  const number = (value) =>
    value === 0
      ? '0'
      : Number(value) >= 0.001 && Number(value) < 1e5
        ? String(Number(Number(value).toPrecision(2)))
        : Number(value).toExponential(1);
  const lines = [...rows.values()]
    .sort((a, b) => a.topic.localeCompare(b.topic) || a.what.localeCompare(b.what))
    .map(
      (one) =>
        `| ${one.topic} | ${one.what} | ${number(one.largestError)} | ${number(one.tolerance)} | ${one.unit || '–'} |`,
    );
  return `\n| topic | what | largest error | allowed | unit |\n|---|---|---|---|---|\n${lines.join('\n')}\n`;
}
