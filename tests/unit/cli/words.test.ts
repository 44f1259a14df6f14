import { describe, expect, test } from 'vitest';
import { commands } from '../../../src/cli/run.ts';
import { MemoryHost } from '../../support/memory-host.ts';

const host = new MemoryHost({ 'folder/a.csv': 'a\n1\n' });

describe('what is refused', () => {
  test('no command at all prints the overview and exits 2', () => {
    const { code, out } = host.run();
    expect(code).toBe(2);
    for (const { name } of commands) expect(out).toContain(`  ${name} `);
  });
  test('a command that is not there is told with those that are', () => {
    const { code, out, err } = host.run('studdy', 'farm');
    expect(code).toBe(2);
    expect(out).toBe('');
    expect(err).toContain('There is no command "studdy"');
    expect(err).toContain('study');
  });
  test.each(commands.map((one) => one.name))('%s refuses an option that it does not have, with its usage', (name) => {
    const { code, err } = host.run(name, '--colour', 'red');
    expect(code).toBe(2);
    expect(err).toContain('There is no option --colour.');
    expect(err).toContain(`Usage: seedfall ${name} `);
  });
  test.each(commands.map((one) => one.name))('%s without its words prints its usage and exits 2', (name) => {
    const { code, err } = host.run(name);
    expect(code).toBe(2);
    expect(err).toContain(`Usage: seedfall ${name} `);
  });
  test('one word too many prints the usage', () => {
    expect(host.run('study', 'a', 'b').code).toBe(2);
  });
  test('an option without its value says so, also before another option', () => {
    expect(host.run('new', 'farm', '--name').err).toContain('--name needs a value: --name NAME.');
    expect(host.run('new', 'farm', '--name', '--json').err).toContain('--name needs a value');
    expect(host.kind('farm')).toBe('nothing');
  });
  test('an option given twice, and a value for a switch', () => {
    expect(host.run('new', 'farm', '--name', 'A', '--name', 'B').err).toContain('--name is given twice.');
    expect(host.run('study', 'farm', '--json=yes').err).toContain('--json takes no value.');
  });
  test.each([
    [['--as', 'song'], '--as song is not one of'],
    [['--column', 'flow'], 'is not of the form flow=FlowRate'],
    [['--unit', 'flow=furlong'], '"furlong" is not a unit'],
    [['--season', 'next'], '--season needs a number'],
    [['--utc-offset', 'CST'], '--utc-offset needs a number'],
  ])('check %j is refused before a file is read', (options, said) => {
    const { code, err } = host.run('check', 'folder/a.csv', ...options);
    expect(code).toBe(2);
    expect(err).toContain(said);
  });
  test('a folder or a missing file in place of a file', () => {
    expect(host.run('check', 'folder').err).toContain('folder is a folder. Name the files in it');
    expect(host.run('check', 'nowhere.csv').err).toContain('There is no file nowhere.csv.');
  });
  test.each(['study', 'zones', 'working', 'order', 'add'])(
    '%s on a farm that is not there says how to make one',
    (name) => {
      const words = { working: ['p'], add: ['x.csv'], zones: ['--out', 'z'] }[name] ?? [];
      const { code, err } = host.run(name, 'nowhere', ...words);
      expect(code).toBe(2);
      expect(err).toContain('There is no farm at nowhere. Make one: seedfall new');
    },
  );
});

describe('help', () => {
  test.each(commands.map((one) => one.name))('%s --help tells usage, what it does, and every option', (name) => {
    const command = commands.find((one) => one.name === name)!;
    const { code, out, err } = host.run(name, '--help');
    expect(code).toBe(0);
    expect(err).toBe('');
    expect(out).toContain(`Usage: seedfall ${name} ${command.words}`);
    expect(out.replace(/\s+/g, ' ')).toContain(`${command.summary.slice(1)}. `);
    for (const example of command.examples ?? []) expect(out).toContain(`seedfall ${example}`);
    for (const option of [...command.options, { name: 'json' }, { name: 'help' }])
      expect(out).toContain(`--${option.name}`);
    for (const line of out.split('\n')) expect([...line].length).toBeLessThanOrEqual(110);
  });
  test('help, --help and help with a command', () => {
    const overview = host.run('--help');
    expect(overview.code).toBe(0);
    expect(host.run('help')).toEqual(overview);
    expect(host.run('-h')).toEqual(overview);
    expect(host.run('help', 'study')).toEqual(host.run('study', '--help'));
    expect(host.run('study', '-h')).toEqual(host.run('study', '--help'));
  });
});

test('words may follow options, and values may stand behind an equals sign', () => {
  const { code, out } = host.run('new', '--name=Two words', '--utc-offset', '-300', 'made');
  expect(code).toBe(0);
  expect(out).toContain('Two words');
  expect(JSON.parse(host.text('made/farm.json'))).toMatchObject({ name: 'Two words', utcOffsetMinutes: -300 });
});
