/** What the person is asked to draw for each change of the zones, and the change that the drawing makes. */
import { toLocalPolygon } from '../../../../shared/geometry/polygon.ts';
import type { LonLat, MultiPolygon } from '../../../../shared/geometry/types.ts';
import type { Outcome } from '../../../../shared/model/problem.ts';
import { cutHole, drawZone, reshapeZone, splitZone, type ZonesEdit } from '../../../../shared/zones/edit.ts';
import type { Desk } from '../../../state/desk.svelte.ts';
import type { PlainZone, ZoneBench } from './zone-bench.svelte.ts';

/** A new zone. */
export async function askForZone(desk: Desk, bench: ZoneBench): Promise<void> {
  await askForArea(desk, bench, `Draw a zone on ${bench.field?.name}`, null, null, drawZone);
}

export async function askForChange(
  desk: Desk,
  bench: ZoneBench,
  zone: PlainZone,
  what: 'reshape' | 'split' | 'hole',
): Promise<void> {
  const name = `zone ${zone.letter} of ${bench.field?.name}`;
  if (what === 'split') return askForLine(desk, bench, zone, `Draw a line across ${name}`);
  if (what === 'hole') {
    return askForArea(desk, bench, `Draw the hole in ${name}`, null, null, (zones, ground, drawn) =>
      cutHole(zones, ground, zone.id, drawn),
    );
  }
  return askForArea(desk, bench, `Reshape ${name}`, zone.area, zone.id, (zones, ground, drawn) =>
    reshapeZone(zones, ground, zone.id, drawn),
  );
}

async function askForArea(
  desk: Desk,
  bench: ZoneBench,
  prompt: string,
  start: MultiPolygon | null,
  without: string | null,
  change: typeof drawZone,
): Promise<void> {
  const { field } = bench;
  if (!field) return;
  const made = ({ edited, ground }: ZoneBench, drawn: MultiPolygon): Outcome<ZonesEdit> | null =>
    ground && change(edited, ground, toLocalPolygon(ground.frame, drawn));
  bench.try((drawn) => made(bench, drawn));
  const beside = besides(bench, without);
  const drawn = await desk.drawing.ask({ kind: 'area', prompt, start, field: field.id, beside });
  bench.try(null);
  const outcome = drawn && bench.field?.id === field.id ? made(bench, drawn) : null;
  if (outcome) bench.apply(outcome);
}

async function askForLine(desk: Desk, bench: ZoneBench, zone: PlainZone, prompt: string): Promise<void> {
  const { field } = bench;
  if (!field) return;
  const drawn = await desk.drawing.ask({ kind: 'line', prompt, field: field.id, beside: besides(bench, null) });
  const { ground } = bench;
  if (!drawn || !ground || bench.field?.id !== field.id) return;
  const line = Float64Array.from(drawn.flatMap(([lon, lat]: LonLat) => ground.frame.toLocal(lon, lat)));
  bench.apply(splitZone(bench.edited, ground, zone.id, line));
}

function besides(bench: ZoneBench, without: string | null): MultiPolygon[] {
  return (bench.zones ?? []).flatMap((one) => (one.id === without ? [] : [one.area]));
}
