/** Everything, in the order in which a failure is cheapest: `npm test`. Ends with one plain line: N passed, N failed. */
import { spawn } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs';
import { availableParallelism } from 'node:os';

const started = Date.now();
rmSync('test-results', { recursive: true, force: true });
mkdirSync('test-results', { recursive: true });

const chromium = [
  process.env.CHROMIUM,
  '/usr/bin/chromium',
  '/usr/bin/chromium-browser',
  '/usr/bin/google-chrome',
].find((path) => path && existsSync(path));
if (!chromium) {
  console.error('No Chromium was found: on Debian, "apt-get install -y chromium"; elsewhere set CHROMIUM to its path.');
  process.exit(1);
}

const counts = { passed: 0, failed: 0 };
/** They read and write nothing of each other: as many at once as there are cores, what each says told when it ends. */
const readings = [
  ['format', 'npx', ['prettier', '--check', '--log-level', 'warn', '.']],
  ['lint', 'npx', ['eslint', '.']],
  ['types of the core', 'npx', ['tsc', '-p', 'shared']],
  ['types', 'npx', ['tsc', '-p', '.']],
  [
    'types of the pages',
    'npx',
    ['svelte-check', '--tsconfig', 'tsconfig.json', '--fail-on-warnings', '--output', 'human'],
  ],
];
/** One after the other. */
const steps = [
  [
    'unit and reference',
    'npx',
    ['vitest', 'run', '--reporter', 'default', '--reporter', 'json', '--outputFile.json', 'test-results/unit.json'],
  ],
  ['build', 'npm', ['run', '--silent', 'build']],
  ['command line', 'node', ['dist-cli/seedfall.mjs', '--help']],
  ['browser', 'npx', ['playwright', 'test']],
];

const left = [...readings];
await Promise.all(
  Array.from({ length: Math.min(2, availableParallelism()) }, async () => {
    for (let next = left.shift(); next; next = left.shift()) await run(next, 'pipe');
  }),
);
for (const step of steps) await run(step, step[0] === 'command line' ? 'errors' : 'inherit');

/** @param says how its output is told: as it comes, when it has ended, or errors alone */
async function run([title, command, args], says) {
  const from = Date.now();
  if (says !== 'pipe') console.log(`\n— ${title}`);
  const stdio =
    says === 'pipe' ? ['ignore', 'pipe', 'pipe'] : says === 'errors' ? ['ignore', 'ignore', 'inherit'] : 'inherit';
  const child = spawn(command, args, { stdio, env: { ...process.env, CHROMIUM: chromium } });
  const heard = [];
  for (const stream of [child.stdout, child.stderr]) stream?.on('data', (bytes) => heard.push(bytes));
  const status = await new Promise((resolve) => {
    child.on('error', () => resolve(1));
    child.on('close', resolve);
  });
  const told = Buffer.concat(heard).toString().trim();
  if (told !== '') console.log(`\n— ${title}\n${told}`);
  console.log(`— ${title}: ${status === 0 ? 'passed' : 'FAILED'} in ${((Date.now() - from) / 1000).toFixed(1)} s`);
  if (status === 0) counts.passed++;
  else counts.failed++;
}

/** Adds the tests that a runner counted to the steps, which count as one each. */
function add(file, read) {
  if (!existsSync(file)) return;
  const { passed, failed } = read(JSON.parse(readFileSync(file, 'utf8')));
  counts.passed += passed;
  counts.failed += failed;
}
add('test-results/unit.json', (json) => ({ passed: json.numPassedTests, failed: json.numFailedTests }));
add('test-results/browser.json', ({ stats }) => ({ passed: stats.expected, failed: stats.unexpected + stats.flaky }));

console.log(`\n${counts.passed} passed, ${counts.failed} failed (${((Date.now() - started) / 1000).toFixed(0)} s)`);
process.exit(counts.failed === 0 ? 0 : 1);
