/** A track joins the round of the days on which it was walked; it says where somebody looked, not what was found. */
import { indexPolygon } from '../geometry/polygon-index.ts';
import { problem } from '../model/problem.ts';
import type { TrackRecords } from '../model/records.ts';
import { daysOfTrack, lineOf, trackLengthM } from '../scouting/walked.ts';
import { formatDistance } from '../units/format.ts';
import { counted } from '../units/words.ts';
import { takeRound } from './take-in-round.ts';
import { type Context, fieldsOfFile, near, onFields, type Taken } from './taking.ts';

export function takeTrack(context: Context, records: TrackRecords): Taken {
  const { farm, incoming, problems } = context;
  const { lines, waypoints } = records;
  const where = { file: incoming.name };
  const places = waypoints.filter((one) => !one.isStop);
  const stops = waypoints.length - places.length;
  if (stops > 0) {
    const text = `${counted(stops, 'waypoint')} of ${incoming.name} ${stops === 1 ? 'is a stop' : 'are stops'} that went out from here: where to look, not what was found.`;
    problems.push(problem(lines.length + places.length > 0 ? 'note' : 'warning', 'stops-came-back', text, { where }));
  }
  if (lines.length + places.length === 0) {
    const text = `${incoming.name} brings back the stops alone, with no track and no other place: nothing changes.`;
    problems.push(problem('warning', 'only-stops', text, { where, hint: 'Add what was counted there.' }));
    return null;
  }
  const all = [...lines.flatMap(lineOf), ...places.map((one) => one.at)];
  const fields = fieldsOfFile(context, (boundary, frame) => {
    const within = indexPolygon(boundary);
    return all.some((at) => near(at, frame) && within.contains(...frame.toLocal(at[0], at[1])));
  });
  if (fields === null) return null;
  if (lines.length > 0 && records.widthM === null) {
    const text = `How wide a strip was looked over along the track of ${incoming.name} is not said: its length is told, no area.`;
    problems.push(
      problem('note', 'walked-width-not-said', text, { where, hint: 'Say the width, or do so later in Infestation.' }),
    );
  }
  const days = daysOfTrack(records, farm.utcOffsetMinutes);
  const brought = [
    ...(lines.length > 0 ? [`a walked track of ${formatDistance(trackLengthM(records), farm.display)}`] : []),
    ...(places.length > 0 ? [counted(places.length, 'place')] : []),
  ];
  return takeRound(
    context,
    [],
    days === null ? [] : [days.first, days.last],
    `${brought.join(' and ')}${onFields(fields)}`,
  );
}
