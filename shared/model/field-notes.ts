/**
 * Field notes: what was marked in the field, as one small file that goes from a phone to the office. Each find carries an id of its
 * own, so that the same notes brought twice, or those of two phones, come together without one writing over another. They name no
 * person. A picture lies beside the notes under the name that its find gives; its hash says whether it is that picture.
 */
import * as z from 'zod';
import { alongRowSchema, type Farm, findId, findMembers, instant, type Round } from './farm.ts';

export const FIELD_NOTES_FORMAT = 'seedfall field notes';
export const FIELD_NOTES_VERSION = 1;

/** A position that is worse is told, and asked about (*common practice, no source*). */
export const ROUGH_POSITION_M = 15;
/** Nobody on foot, on four wheels or on a farm road comes from one find to the next faster (*common practice, no source*). */
export const FASTEST_MS = 35;

const noted = z.object({
  ...findMembers,
  id: findId,
  time: instant,
  /** The ground looked at: an area, or a length of row with the row spacing. */
  effort: z.union([
    z.object({ areaM2: z.number().positive() }),
    z.object({ rowLengthM: alongRowSchema.shape.lengthM, rowSpacingM: alongRowSchema.shape.spacingM }),
  ]),
  photo: z.object({ name: z.string().regex(/^[^/\\]{1,120}$/), sha256: z.string().regex(/^[0-9a-f]{64}$/) }).optional(),
});

const fieldNotes = z.object({
  format: z.literal(FIELD_NOTES_FORMAT),
  version: z.literal(FIELD_NOTES_VERSION),
  farm: z.object({ id: findId, name: z.string().min(1) }),
  finds: z.array(noted),
});

export type FieldNotes = z.infer<typeof fieldNotes>;
export type NotedFind = FieldNotes['finds'][number];
/** A find as the document holds it: a typed count that has an id. */
export type Find = Round['typed'][number] & { readonly id: string; readonly time: string };

/** The published JSON Schema of field notes. */
export function fieldNotesJsonSchema(): unknown {
  return z.toJSONSchema(fieldNotes, { io: 'input', unrepresentable: 'any' });
}

export type Checked<T> =
  | { readonly ok: true; readonly value: T }
  /** `path` of the member that is wrong, and what is wrong with it. */
  | { readonly ok: false; readonly path: string; readonly because: string };

export function checkFind(value: unknown): Checked<NotedFind> {
  return checked(noted, value);
}
/** All but the finds, which are checked one by one. */
export function checkNotesHead(value: unknown): Checked<Omit<FieldNotes, 'finds'> & { readonly finds: unknown[] }> {
  return checked(fieldNotes.extend({ finds: z.array(z.unknown()) }), value);
}

function checked<T>(schema: z.ZodType<T>, value: unknown): Checked<T> {
  const parsed = schema.safeParse(value);
  if (parsed.success) return { ok: true, value: parsed.data };
  const issue = parsed.error.issues[0]!;
  return { ok: false, path: issue.path.join('/'), because: issue.message };
}

/**
 * An id that no other find has: the instant, and eight hex digits of a number drawn by the host.
 * @param time instant, ISO 8601 UTC to the second @param random in [0, 1)
 */
export function newFindId(time: string, random: number): string {
  if (!(random >= 0 && random < 1)) throw new Error(`newFindId: expected a number in [0, 1), got ${random}`);
  const digits = Math.floor(random * 2 ** 32).toString(16);
  return `${time.replace(/[-:]/g, '')}-${digits.padStart(8, '0')}`;
}

export function isFind(count: Round['typed'][number]): count is Find {
  return count.id !== undefined && count.time !== undefined;
}

/** Every find of the farm in a season, the latest first. */
export function findsOf(farm: Farm, season: number): Find[] {
  const finds = farm.rounds.filter((one) => one.season === season).flatMap((one) => one.typed.filter(isFind));
  return finds.sort((a, b) => (a.time < b.time ? 1 : a.time > b.time ? -1 : a.id < b.id ? 1 : -1));
}

/** As noted: the row as it was measured, and the picture by its name. */
export function notedFind(find: Find, photo: NotedFind['photo']): NotedFind {
  const { effortM2, alongRow, photo: _file, ...same } = find;
  const effort = alongRow ? { rowLengthM: alongRow.lengthM, rowSpacingM: alongRow.spacingM } : { areaM2: effortM2 };
  return { ...same, effort, ...(photo === undefined ? {} : { photo }) };
}

/** As the document holds it. @param photo id of the file that is the picture */
export function documentFind({ effort, photo: _name, ...same }: NotedFind, photo: string | undefined): Find {
  const ground =
    'areaM2' in effort
      ? { effortM2: effort.areaM2 }
      : {
          effortM2: effort.rowLengthM * effort.rowSpacingM,
          alongRow: { lengthM: effort.rowLengthM, spacingM: effort.rowSpacingM },
        };
  return { ...same, ...ground, ...(photo === undefined ? {} : { photo }) };
}

/** Whether both say the same of one find. Pictures are not asked: they may have been left behind. */
export function isSameFind(a: Find, b: Find): boolean {
  const text = (find: Find) => {
    const { photo: _photo, ...rest } = find;
    return JSON.stringify(Object.entries(rest).sort(([one], [other]) => (one < other ? -1 : 1)));
  };
  return text(a) === text(b);
}
