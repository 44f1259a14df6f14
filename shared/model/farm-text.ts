/** farm.json as text: read with every problem told by its path, written so that equal farms are equal bytes. */
import { type Farm, farmSchema } from './farm.ts';
import { done, type Outcome, problem, ProblemList, refused } from './problem.ts';

export const SCHEMA_VERSION = 1;

export function readFarmText(text: string, name = 'farm.json'): Outcome<Farm> {
  let json: unknown;
  try {
    json = JSON.parse(text);
  } catch (error) {
    const said = error instanceof Error ? error.message : String(error);
    return refused(
      problem('error', 'farm-not-json', `${name} is not readable as JSON: ${said}.`, { where: { file: name } }),
    );
  }
  const version = (json as { schema?: unknown } | null)?.schema;
  if (typeof version === 'number' && version > SCHEMA_VERSION) {
    return refused(
      problem(
        'error',
        'farm-newer',
        `${name} was written by a newer version (schema ${version}, this one reads ${SCHEMA_VERSION}).`,
        {
          where: { file: name },
          hint: 'Open it with the newer version.',
        },
      ),
    );
  }
  const parsed = farmSchema.safeParse(json);
  if (!parsed.success) {
    const list = new ProblemList();
    for (const issue of parsed.error.issues) {
      list.add(
        problem('error', 'farm-invalid', `${name}: ${issue.path.join('/') || 'the document'}: ${issue.message}.`, {
          where: { file: name, id: issue.path.join('/') },
        }),
      );
    }
    return refused(...list.list());
  }
  const loose = looseEnds(parsed.data);
  return loose.length > 0
    ? refused(...loose.map((text) => problem('error', 'farm-loose-end', `${name}: ${text}`, { where: { file: name } })))
    : done(parsed.data);
}

export function writeFarmText(farm: Farm): string {
  return `${JSON.stringify(farm, null, 1)}\n`;
}

/** References that lead nowhere, and ids that stand twice. */
function looseEnds(farm: Farm): string[] {
  const told: string[] = [];
  const unique = (what: string, ids: readonly string[]) => {
    const seen = new Set<string>();
    for (const id of ids) {
      if (seen.has(id)) told.push(`two ${what} have the id ${id}.`);
      seen.add(id);
    }
    return seen;
  };
  const fields = unique(
    'fields',
    farm.fields.map((one) => one.id),
  );
  const files = unique(
    'files',
    farm.files.map((one) => one.id),
  );
  const programs = unique(
    'programs',
    farm.programs.map((one) => one.id),
  );
  unique(
    'rounds',
    farm.rounds.map((one) => one.id),
  );
  unique(
    'seasons',
    farm.seasons.map((one) => String(one.year)),
  );
  unique(
    'machines',
    farm.machines.map((one) => one.id),
  );
  if (!programs.has('as-now')) told.push('the program as-now is missing.');
  const field = (id: string, where: string) =>
    void (fields.has(id) || told.push(`${where} names the field ${id}, which does not exist.`));
  const file = (id: string, where: string) =>
    void (files.has(id) || told.push(`${where} names the file ${id}, which does not exist.`));
  for (const season of farm.seasons) {
    unique(
      `visits of ${season.year}`,
      season.visits.map((one) => one.id),
    );
    unique(
      `crops of ${season.year} on a field`,
      season.crops.map((one) => one.field),
    );
    season.weather.forEach((id) => file(id, `season ${season.year}`));
    season.crops.forEach((one) => field(one.field, `a crop of ${season.year}`));
    season.sightings.forEach((one) => field(one.field, `a sighting of ${season.year}`));
    season.sprayed.forEach((one) => field(one.where.field, `a spraying of ${season.year}`));
    for (const visit of season.visits) {
      field(visit.field, `visit ${visit.id}`);
      if (visit.file !== undefined) file(visit.file, `visit ${visit.id}`);
    }
  }
  for (const round of farm.rounds) {
    round.files.forEach((id) => file(id, `round ${round.id}`));
    round.ratings.forEach((one) => field(one.field, `a rating of round ${round.id}`));
    round.patches.forEach((one) => field(one.field, `a patch of round ${round.id}`));
  }
  for (const set of farm.zoneSets) field(set.field, `zone set ${set.id}`);
  for (const id of farm.planning.mustTreat) field(id, 'planning');
  return told;
}
