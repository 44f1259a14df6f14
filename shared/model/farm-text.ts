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
    const row = rowOf(text, said);
    const place = row === undefined ? '' : ` in line ${row}`;
    return refused(
      problem('error', 'farm-not-json', `${name} is not readable as JSON${place}: ${said}.`, {
        where: { file: name, ...(row === undefined ? {} : { row }) },
        hint: 'Undo the last change made to it by hand, or take it from a backup.',
      }),
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
  const unknown = unknownMembers(json, parsed.data, []);
  if (unknown.length > 0) {
    const list = new ProblemList();
    for (const path of unknown) {
      list.add(
        problem('error', 'farm-member-unknown', `${name}: ${path} is not a member that is known here.`, {
          where: { file: name, id: path },
          hint: 'Correct its name or take it out: it would be lost when the farm is saved.',
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

/** Line of the text where the parser stopped, from the position that engines give in their message. */
function rowOf(text: string, said: string): number | undefined {
  const at = /end of (JSON )?input/i.test(said) ? text.trimEnd().length : /position (\d+)/.exec(said)?.[1];
  return at === undefined ? undefined : text.slice(0, Number(at)).split('\n').length;
}

/** Paths of members that the text has and the document read from it has not. */
function unknownMembers(written: unknown, read: unknown, path: readonly (string | number)[]): string[] {
  if (typeof written !== 'object' || written === null || typeof read !== 'object' || read === null) return [];
  return Object.entries(written).flatMap(([key, value]) => {
    const here = [...path, key];
    return key in read ? unknownMembers(value, (read as Record<string, unknown>)[key], here) : [here.join('/')];
  });
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
  const machines = unique(
    'machines',
    farm.machines.map((one) => one.id),
  );
  const products = unique(
    'products',
    farm.products.map((one) => one.id),
  );
  const zones = unique(
    'zones',
    farm.zoneSets.flatMap((set) => set.zones.map((one) => one.id)),
  );
  if (!programs.has('as-now')) told.push('the program as-now is missing.');
  const known = (ids: ReadonlySet<string>, what: string, id: string, where: string) =>
    void (ids.has(id) || told.push(`${where} names the ${what} ${id}, which does not exist.`));
  const field = (id: string, where: string) => known(fields, 'field', id, where);
  const file = (id: string, where: string) => known(files, 'file', id, where);
  for (const one of farm.files) one.parts?.forEach((id) => file(id, `file ${one.id}`));
  for (const one of farm.fields) if (one.from) file(one.from.file, `field ${one.id}`);
  for (const one of farm.corrections) file(one.file, 'a correction');
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
      known(machines, 'machine', visit.machine, `visit ${visit.id}`);
      if (visit.file !== undefined) file(visit.file, `visit ${visit.id}`);
    }
  }
  for (const round of farm.rounds) {
    round.files.forEach((id) => file(id, `round ${round.id}`));
    round.ratings.forEach((one) => field(one.field, `a rating of round ${round.id}`));
    round.patches.forEach((one) => field(one.field, `a patch of round ${round.id}`));
    for (const one of round.typed) if (one.photo !== undefined) file(one.photo, `a count of round ${round.id}`);
  }
  unique(
    'finds',
    farm.rounds.flatMap((round) => round.typed.flatMap((one) => one.id ?? [])),
  );
  for (const set of farm.zoneSets) field(set.field, `zone set ${set.id}`);
  for (const id of farm.planning.mustTreat) field(id, 'planning');
  for (const plan of [farm.plan, ...farm.scenarios.map((one) => one.plan)]) {
    for (const choice of plan) {
      const where = `the plan of ${choice.season}`;
      known(programs, 'program', choice.program, where);
      if ('field' in choice.target) field(choice.target.field, where);
      // A zone that a study proposed is in no zone set; its id begins with its field's.
      else if (![...fields].some((id) => (choice.target as { zone: string }).zone.startsWith(`${id}-`)))
        known(zones, 'zone', choice.target.zone, where);
      for (const rate of choice.rates) known(products, 'product', rate.product, where);
    }
  }
  return told;
}
