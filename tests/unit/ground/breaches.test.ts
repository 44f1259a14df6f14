import { readdirSync, readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { ESLint } from 'eslint';
import ts from 'typescript';
import { describe, expect, it } from 'vitest';

const root = fileURLToPath(new URL('../../../', import.meta.url));
const folder = `${root}tests/breaches/`;

function errorsOf(file: string): string[] {
  const config = ts.getParsedCommandLineOfConfigFile(
    `${root}shared/tsconfig.json`,
    {},
    { ...ts.sys, onUnRecoverableConfigFileDiagnostic: () => undefined },
  )!;
  const program = ts.createProgram([`${root}shared/host.d.ts`, file], config.options);
  return ts.getPreEmitDiagnostics(program).map((one) => ts.flattenDiagnosticMessageText(one.messageText, '\n'));
}

describe('planted breaches of the core', () => {
  for (const name of readdirSync(folder).filter((one) => one.endsWith('.ts'))) {
    it(`${name} does not compile as part of the core`, () => {
      const wanted = /^\/\/ wants: (.*)$/m.exec(readFileSync(folder + name, 'utf8'))![1]!;
      expect(errorsOf(folder + name).join('\n')).toContain(wanted);
    });
  }

  it('a file of the core itself compiles with the same settings', () => {
    expect(errorsOf(`${root}shared/units/units.ts`)).toEqual([]);
  });

  it('a clock or dice in the core is refused by the linter', async () => {
    const eslint = new ESLint({ cwd: root });
    const lint = async (text: string) =>
      (await eslint.lintText(text, { filePath: `${root}shared/units/planted.ts` }))[0]!.messages.map(
        (one) => one.ruleId,
      );
    expect(await lint('export const now = new Date();\n')).toContain('no-restricted-globals');
    expect(await lint('export const dice = Math.random();\n')).toContain('no-restricted-properties');
    expect(await lint('export const two = 2;\n')).toEqual([]);
  });
});
