import { farmJsonSchema } from '../../../shared/model/farm.ts';
import { fieldNotesJsonSchema } from '../../../shared/model/field-notes.ts';
import { outputJsonSchema } from '../../../shared/model/output-schema.ts';
import type { Command } from '../command.ts';
import { printJson } from '../print.ts';

export const schemaCommand: Command = {
  name: 'schema',
  words: 'farm|field-notes|check|study|trace|harvest',
  summary: 'the JSON Schema of farm.json, of field notes, or of what check, study, trace and harvest print',
  more: 'The same files stand in the repository under public/schema.',
  options: [],
  takes: [1, 1],
  run({ words, host }) {
    const which = words[0]!;
    if (which === 'farm') printJson(host, farmJsonSchema());
    else if (which === 'field-notes') printJson(host, fieldNotesJsonSchema());
    else if (which === 'check' || which === 'study' || which === 'trace' || which === 'harvest')
      printJson(host, outputJsonSchema(which));
    else {
      host.err('There are schemas of farm, field-notes, check, study, trace and harvest.\n');
      return 2;
    }
    return 0;
  },
};
