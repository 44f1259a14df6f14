/** Boundaries become fields; those of a task set only where the farm has no such field yet, since they come along with its logs. */
import { intersect } from '../geometry/clip.ts';
import { createFrame, frameOriginOf } from '../geometry/local-frame.ts';
import { polygonAreaM2, toLocalPolygon } from '../geometry/polygon.ts';
import type { Bounds, LonLat, MultiPolygon } from '../geometry/types.ts';
import { askIfFarFromFarm } from '../import/farm-distance.ts';
import { TASK_FIELDS } from '../import/task-data-fields.ts';
import type { Field } from '../model/farm.ts';
import { freeId } from '../model/free-id.ts';
import { fieldByName } from '../model/lookups.ts';
import { problem } from '../model/problem.ts';
import type { BoundaryFeature, BoundaryRecords } from '../model/records.ts';
import { counted } from '../units/words.ts';
import { boundsOf, type Context, type Taken } from './taking.ts';

/** So much of the smaller one in common, and two outlines are of one field. *Assumed*. */
const SAME_GROUND_FRACTION = 0.5;

export function takeBoundaries(context: Context, { features, bounds }: BoundaryRecords): Taken {
  const { farm, incoming, fileId, problems } = context;
  const where = { file: incoming.name };
  if (features.length === 0) {
    problems.push(
      problem('error', 'no-fields-in-file', `${incoming.name} holds no field that can be used.`, { where }),
    );
    return null;
  }
  const isOfTaskSet = incoming.read.reading.importer === TASK_FIELDS;
  const wanted = isOfTaskSet ? newOnes(context, features) : features;
  if (wanted.length === 0) return null;
  const near = farm.fields[0]?.frameOrigin;
  const far = near ? askIfFarFromFarm(bounds, near as LonLat, incoming.name, farm.display) : null;
  if (far) problems.push(far);
  const ids = new Set(farm.fields.map((one) => one.id));
  const fields = wanted.map((feature) => {
    // Two of one name within the file are told by its reader.
    if (farm.fields.some((one) => isNamed(one, feature))) {
      problems.push(
        problem('warning', 'field-name-twice', `There is already a field named ${feature.name}; both are kept.`, {
          where: { ...where, feature: feature.feature },
          hint: 'Rename one: records are matched to fields by name.',
        }),
      );
    }
    const id = freeId(slug(feature.name), ids);
    ids.add(id);
    return {
      id,
      name: feature.name,
      ours: true,
      frameOrigin: frameOriginOf(boundsOf(feature.polygon)),
      boundary: feature.polygon,
      exclusions: [],
      from: { file: fileId, feature: feature.feature },
    };
  });
  return { summary: counted(fields.length, 'field'), sets: [{ path: ['fields'], value: [...farm.fields, ...fields] }] };

  function isNamed(field: Field, { name }: BoundaryFeature): boolean {
    return fieldByName({ ...farm, fields: [field] }, name) !== null;
  }
}

/** Fields of a task set that lie on no field of the farm; the others are told. */
function newOnes({ farm, incoming, problems }: Context, features: readonly BoundaryFeature[]): BoundaryFeature[] {
  const known: string[] = [];
  const fresh = features.filter((feature) => {
    const same = farm.fields.find((field) => isSameGround(field, feature));
    if (!same) return true;
    known.push(same.name === feature.name ? feature.name : `${feature.name} (here ${same.name})`);
    return false;
  });
  if (known.length > 0) {
    const list = known.slice(0, 8).join(', ') + (known.length > 8 ? ` and ${known.length - 8} more` : '');
    problems.push(
      problem(
        'note',
        'fields-known',
        `${counted(known.length, 'field')} of the task set ${known.length === 1 ? 'lies' : 'lie'} on ground that the farm has a boundary of (half of the smaller one or more in common): ${list}. The farm’s own ${known.length === 1 ? 'boundary stays' : 'boundaries stay'}.`,
        { where: { file: incoming.name } },
      ),
    );
  }
  return fresh;
}

function isSameGround({ boundary }: Field, { polygon }: BoundaryFeature): boolean {
  const [a, b] = [boundary as MultiPolygon, polygon];
  if (!overlap(boundsOf(a), boundsOf(b))) return false;
  const frame = createFrame(frameOriginOf(boundsOf(a)));
  const [ours, theirs] = [toLocalPolygon(frame, a), toLocalPolygon(frame, b)];
  const smaller = Math.min(polygonAreaM2(ours), polygonAreaM2(theirs));
  return polygonAreaM2(intersect(ours, theirs)) >= SAME_GROUND_FRACTION * smaller;
}

const overlap = (a: Bounds, b: Bounds): boolean => a[0] <= b[2] && b[0] <= a[2] && a[1] <= b[3] && b[1] <= a[3];

function slug(name: string): string {
  const plain = name
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-+|-+$/g, '');
  return plain.slice(0, 40) || 'field';
}
