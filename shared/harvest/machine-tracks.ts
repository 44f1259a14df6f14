/**
 * A log that holds several machines at once, taken apart by continuity: two combines in one field, exported together.
 */

/** Fewer impossible steps than this share are a receiver's jumps, not a second machine. *Assumed*. */
const TROUBLED_FRACTION = 0.01;
/** A machine has at least this share of the records, and as many as a short pass. *Assumed*. */
const LEAST_FRACTION = 0.01;
const FEWEST_RECORDS = 50;
/** Of a machine's records this share follow the one before closely; places that a receiver jumped to do not. *Assumed*. */
const STEADY_FRACTION = 0.8;
/** Records in a row that show a machine at work, and the share of the log in which two of them are. *Assumed*. */
const RUN = 10;
const TOGETHER_FRACTION = 0.05;
/** Up to this a machine's speed foretells its place; after more silence it may be anywhere, s. */
const SILENT_S = 5;
const MOST_TRACKS = 20;
/** Receiver noise that no speed explains, m. */
const NOISE_M = 2;

/** What a log says of its machines, in the form that `separateMachines` finds it; null where it is of one. */
export function machinesSaid(
  machine: Uint8Array,
  timeS: Float64Array,
  order: Uint32Array,
): ReturnType<typeof separateMachines> {
  const tracks = new Set(Array.from(order, (i) => machine[i]!)).size;
  if (tracks < 2) return null;
  const last = new Float64Array(256).fill(-Infinity);
  const places = [...new Set(machine)].sort((a, b) => a - b);
  let atOnce = 1;
  for (const i of order) {
    last[machine[i]!] = timeS[i]!;
    let busy = 0;
    for (const one of places) if (timeS[i]! - last[one]! <= SILENT_S) busy++;
    atOnce = Math.max(atOnce, busy);
  }
  return { trackOf: Uint8Array.from(order, (i) => places.indexOf(machine[i]!)), tracks: places.length, atOnce };
}

/**
 * Machine of each record, or null where one machine explains the log. Records are handed, in time order, to the track
 * whose foretold place is nearest among those that could have driven there; a record that none could have goes to
 * a silent track, else opens a new one, and tracks too short to be a machine go to the largest (where they show as jumps).
 * @param order records with a time and a place in time order; indices into the file
 * @returns track of each entry of `order`, 0 the one with the most records; how many tracks, and how many work at once at most
 * @cost O(records × tracks)
 */
export function separateMachines(
  timeS: Float64Array,
  xM: Float64Array,
  yM: Float64Array,
  order: Uint32Array,
  topSpeedMS: number,
): { readonly trackOf: Uint8Array; readonly tracks: number; readonly atOnce: number } | null {
  const count = order.length;
  let impossible = 0;
  for (let k = 1; k < count; k++) {
    const a = order[k - 1]!;
    const b = order[k]!;
    const reachM = topSpeedMS * (timeS[b]! - timeS[a]!) + NOISE_M;
    if ((xM[b]! - xM[a]!) ** 2 + (yM[b]! - yM[a]!) ** 2 > reachM * reachM) impossible++;
  }
  if (impossible < TROUBLED_FRACTION * count) return null;

  interface Track {
    t: number;
    x: number;
    y: number;
    vx: number;
    vy: number;
    records: number;
    /** Records that follow the one before within seconds and reach. */
    steady: number;
    /** Such records in a row. */
    run: number;
  }
  const tracks: Track[] = [];
  let together = 0;
  let atOnce = 1;
  const trackOf = new Uint16Array(count);
  for (let k = 0; k < count; k++) {
    const i = order[k]!;
    const t = timeS[i]!;
    const x = xM[i]!;
    const y = yM[i]!;
    // Machines at work first, by the place foretold; then one that has been silent and may be anywhere, the nearest.
    let best = -1;
    let nearest2 = Infinity;
    for (let j = 0; j < tracks.length; j++) {
      const track = tracks[j]!;
      const dt = t - track.t;
      const reachM = topSpeedMS * dt + NOISE_M;
      if (dt > SILENT_S || (x - track.x) ** 2 + (y - track.y) ** 2 > reachM * reachM) continue;
      const distance2 = (x - track.x - track.vx * dt) ** 2 + (y - track.y - track.vy * dt) ** 2;
      if (distance2 >= nearest2) continue;
      nearest2 = distance2;
      best = j;
    }
    if (best >= 0) {
      tracks[best]!.steady++;
      tracks[best]!.run++;
      let busy = 0;
      for (const { run, t: last } of tracks) if (run >= RUN && t - last <= SILENT_S) busy++;
      if (busy > 1) together++;
      atOnce = Math.max(atOnce, busy);
    } else {
      for (let j = 0; j < tracks.length; j++) {
        const track = tracks[j]!;
        const distance2 = (x - track.x) ** 2 + (y - track.y) ** 2;
        if (t - track.t <= SILENT_S || distance2 >= nearest2) continue;
        nearest2 = distance2;
        best = j;
      }
    }
    if (best >= 0 && t - tracks[best]!.t > SILENT_S) tracks[best]!.run = 0;
    if (best < 0 && tracks.length < MOST_TRACKS) {
      tracks.push({ t, x, y, vx: 0, vy: 0, records: 0, steady: 0, run: 0 });
      best = tracks.length - 1;
    } else if (best < 0) best = 0;
    const track = tracks[best]!;
    const dt = t - track.t;
    if (dt > 0) {
      track.vx = dt <= SILENT_S ? (x - track.x) / dt : 0;
      track.vy = dt <= SILENT_S ? (y - track.y) / dt : 0;
      track.t = t;
      track.x = x;
      track.y = y;
    }
    track.records++;
    trackOf[k] = best;
  }

  if (together < TOGETHER_FRACTION * count) return null;
  const least = Math.max(FEWEST_RECORDS, LEAST_FRACTION * count);
  const ranked = tracks.map((_, j) => j).sort((a, b) => tracks[b]!.records - tracks[a]!.records || a - b);
  const machines = ranked.filter((j) => {
    const { records, steady } = tracks[j]!;
    return records >= least && steady >= STEADY_FRACTION * records;
  });
  if (machines.length < 2) return null;
  const machineOf = new Uint8Array(tracks.length);
  machines.forEach((j, machine) => (machineOf[j] = machine));
  return { trackOf: Uint8Array.from(trackOf, (j) => machineOf[j]!), tracks: machines.length, atOnce };
}
