/** Everything, in the order in which a failure is cheapest: `npm test`. Ends with one plain line: N passed, N failed. */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, rmSync } from 'node:fs';

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
const steps = [
  ['format', 'npx', ['prettier', '--check', '--log-level', 'warn', '.']],
  ['lint', 'npx', ['eslint', '.']],
  ['types of the core', 'npx', ['tsc', '-p', 'shared']],
  ['types', 'npx', ['tsc', '-p', '.']],
  [
    'types of the pages',
    'npx',
    ['svelte-check', '--tsconfig', 'tsconfig.json', '--fail-on-warnings', '--output', 'human'],
  ],
  [
    'unit and reference',
    'npx',
    ['vitest', 'run', '--reporter', 'default', '--reporter', 'json', '--outputFile.json', 'test-results/unit.json'],
  ],
  ['build', 'npm', ['run', '--silent', 'build']],
  ['command line', 'node', ['dist-cli/seedfall.mjs', '--help']],
  ['browser', 'npx', ['playwright', 'test']],
];

for (const [title, command, args] of steps) {
  const from = Date.now();
  console.log(`\n— ${title}`);
  const { status } = spawnSync(command, args, {
    stdio: title === 'command line' ? ['ignore', 'ignore', 'inherit'] : 'inherit',
    env: { ...process.env, CHROMIUM: chromium },
  });
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
