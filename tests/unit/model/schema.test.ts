import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';
import { emptyFarm } from '../../../shared/model/new-farm.ts';
import { readFarmText, writeFarmText } from '../../../shared/model/farm-text.ts';
import { MemoryHost } from '../../support/memory-host.ts';

/** Remade with: seedfall schema farm > public/schema/farm.schema.json, and so for field-notes, check, study, trace and harvest. */
test.each(['farm', 'field-notes', 'check', 'study', 'trace', 'harvest'])(
  'the published schema of %s is what `seedfall schema` prints, byte for byte',
  (which) => {
    const path = fileURLToPath(new URL(`../../../public/schema/${which}.schema.json`, import.meta.url));
    const { code, out } = new MemoryHost().run('schema', which);
    expect(code).toBe(0);
    expect(readFileSync(path, 'utf8')).toBe(out);
  },
);

test('an unknown name is refused with those that there are', () => {
  const { code, err } = new MemoryHost().run('schema', 'zones');
  expect(code).toBe(2);
  expect(err).toContain('farm, field-notes, check, study, trace and harvest');
});

test('an empty farm is what the schema says, and comes back equal', () => {
  const farm = emptyFarm('farm', 'Farm');
  const read = readFarmText(writeFarmText(farm));
  expect(read).toEqual({ ok: true, value: farm, problems: [] });
});
