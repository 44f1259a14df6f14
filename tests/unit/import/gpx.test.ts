import { describe, expect, test } from 'vitest';
import { stopsAsGpx } from '../../../shared/hand-over/stop-files.ts';
import { gpxImporter } from '../../../shared/import/gpx.ts';
import { readBundle } from '../../../shared/import/importers.ts';
import type { ReadingWishes } from '../../../shared/import/importer.ts';
import { daysOfTrack, trackLengthM } from '../../../shared/scouting/walked.ts';
import { instantSeconds } from '../../../shared/units/calendar.ts';
import { placeIn } from '../../support/small-farm.ts';

function read(text: string | Uint8Array, wishes: ReadingWishes = {}, name = 'walk.gpx') {
  const bytes = typeof text === 'string' ? new TextEncoder().encode(text) : text;
  const work = readBundle({ name, parts: [{ name, size: bytes.length, chunks: () => [bytes] }] }, wishes);
  let turn = work.next();
  while (!turn.done) turn = work.next();
  return turn.value;
}

function records(text: string | Uint8Array, wishes: ReadingWishes = {}) {
  const outcome = read(text, wishes);
  if (!outcome.ok || outcome.value.records.kind !== 'track') throw new Error(JSON.stringify(outcome.problems));
  return { ...outcome.value.records, problems: outcome.problems, reading: outcome.value.reading };
}

const gpx = (...inside: string[]) =>
  `<?xml version="1.0" encoding="UTF-8"?>\n<gpx version="1.1" creator="a phone" xmlns="http://www.topografix.com/GPX/1/1">\n${inside.join('\n')}\n</gpx>`;
const track = (...points: string[]) => `<trk><name>Walk</name><trkseg>\n${points.join('\n')}\n</trkseg></trk>`;
function point(x: number, y: number, time?: string): string {
  const [lon, lat] = placeIn('West', x, y);
  return `<trkpt lat="${lat.toFixed(8)}" lon="${lon.toFixed(8)}">${time ? `<time>${time}</time>` : ''}</trkpt>`;
}

describe('a GPX file', () => {
  test('brings tracks as they were walked, with their length, and waypoints as places with a note', () => {
    const [lon, lat] = placeIn('West', 30, 40);
    const { lines, waypoints, problems, reading } = records(
      gpx(
        `<wpt lat="${lat}" lon="${lon}"><name>Wet hole</name><desc>many small ones</desc></wpt>`,
        track(
          point(0, 0, '2026-06-10T14:00:00Z'),
          point(30, 0, '2026-06-10T14:00:30Z'),
          point(30, 40, '2026-06-10T14:01:10Z'),
        ),
      ),
    );
    // Two legs of 30 and 40 m, in a frame of meters.
    expect(trackLengthM({ lines })).toBeCloseTo(70, 2);
    expect(waypoints.map(({ name, note, isStop, at }) => [name, note, isStop, at])).toEqual([
      ['Wet hole', 'many small ones', false, [lon, lat]],
    ]);
    expect(problems).toEqual([]);
    expect([reading.takenFor, reading.rows, reading.unusedRows]).toEqual(['track', 4, 0]);
  });

  test('without times is a way without a day; with them the day is the farm’s own', () => {
    expect(daysOfTrack(records(gpx(track(point(0, 0), point(9, 0)))), 0)).toBeNull();
    const late = records(gpx(track(point(0, 0, '2026-06-11T02:00:00Z'), point(9, 0, '2026-06-10T22:00:10-05:00'))));
    const day = (text: string) => instantSeconds(`${text}T00:00:00Z`)! / 86_400;
    expect(daysOfTrack(late, -300)).toEqual({ first: day('2026-06-10'), last: day('2026-06-10') });
    expect(daysOfTrack(late, 0)).toEqual({ first: day('2026-06-11'), last: day('2026-06-11') });
  });

  test('is cut where the position leaps, told with its line, and the leap is no way', () => {
    const { lines, problems } = records(
      gpx(
        track(
          point(0, 0, '2026-06-10T14:00:00Z'),
          point(5, 0, '2026-06-10T14:00:05Z'),
          point(205, 0, '2026-06-10T14:00:06Z'),
          point(6, 0, '2026-06-10T14:00:07Z'),
          point(10, 0, '2026-06-10T14:00:11Z'),
        ),
      ),
    );
    expect(trackLengthM({ lines })).toBeCloseTo(5 + 4, 2);
    expect(problems.map((one) => one.code)).toEqual(['position-jump', 'position-jump']);
    expect(problems[0]!.text).toMatch(/^Line 6: the position leaps 200 m in 1 s/);
  });

  test('keeps what can be used and tells each point that cannot', () => {
    const { lines, problems, reading } = records(
      gpx(
        track(
          point(0, 0),
          '<trkpt lat="91" lon="-93"/>',
          '<trkpt lat="0" lon="0"/>',
          '<trkpt lon="-93"/>',
          point(20, 0),
        ),
      ),
    );
    expect(trackLengthM({ lines })).toBeCloseTo(20, 2);
    expect(problems.map((one) => [one.code, one.where?.row])).toEqual([
      ['position-missing', 5],
      ['position-missing', 6],
      ['position-missing', 7],
    ]);
    expect(reading.unusedRows).toBe(3);
  });

  test('of a route is a plan, not a walk', () => {
    const route = `<rte>${point(0, 0).replaceAll('trkpt', 'rtept')}</rte>`;
    expect(records(gpx(route, track(point(0, 0), point(1, 0)))).problems.map((one) => one.code)).toEqual([
      'route-left-out',
    ]);
    const alone = read(gpx(route));
    expect([alone.ok, alone.problems.at(-1)!.code]).toEqual([false, 'gpx-empty']);
  });

  test('looked over a width only where a person said one', () => {
    const text = gpx(track(point(0, 0), point(1, 0)));
    expect(records(text).widthM).toBeNull();
    expect(records(text, { walkedWidthM: 2 }).widthM).toBe(2);
  });

  test('that went out from here is known again, in both systems of units, and by another program’s hand', () => {
    const row = { fieldName: 'West', order: 1, at: placeIn('West', 10, 10), effortM2: 1 };
    const rows = [
      { ...row, settlesM2: 5000 },
      { ...row, order: 2, settlesM2: 0 },
    ];
    for (const display of ['us', 'metric'] as const) {
      const text = stopsAsGpx('Small Farm: where to look next', rows, 'Palmer amaranth', display);
      expect(records(text).waypoints.map((one) => [one.name, one.isStop])).toEqual([
        ['West 1', true],
        ['West 2', true],
      ]);
      const moved = text.replace('creator="Seedfall"', 'creator="a phone"').replaceAll('desc>', 'cmt>');
      expect(records(moved).waypoints.every((one) => one.isStop)).toBe(true);
    }
  });
});

describe('XML that is not as it should be', () => {
  const refusal = (text: string | Uint8Array) => {
    const outcome = read(text);
    if (outcome.ok) throw new Error('was read');
    return outcome.problems.at(-1)!;
  };

  test('is refused with its line where it is cut short or not well formed', () => {
    const whole = gpx(track(point(0, 0), point(5, 5), point(9, 9)));
    const cut = refusal(whole.slice(0, whole.indexOf('</trkseg>') - 20));
    expect([cut.code, cut.where?.row]).toEqual(['xml-broken', 6]);
    expect(cut.text).toContain('line 6');
    expect(refusal(gpx('<wpt lat="1" lon=2/>')).text).toContain('line 3');
    expect(refusal(gpx('<wpt lat="1" lon="2"></trk>')).code).toBe('xml-broken');
    expect(refusal(gpx('<wpt lat="1" lon="2"><name>&who;</name></wpt>')).code).toBe('xml-broken');
    for (let length = 1; length < whole.length - 1; length += 7)
      expect(refusal(whole.slice(0, length)).level).toBe('error');
  });

  test('is refused at once with a document type or entities: neither swells nor opens another file', () => {
    const bomb = `<?xml version="1.0"?>\n<!DOCTYPE gpx [\n<!ENTITY a "aaaaaaaaaa">\n${Array.from({ length: 9 }, (_, n) => `<!ENTITY ${'b'.repeat(n + 1)} "${`&${n === 0 ? 'a' : 'b'.repeat(n)};`.repeat(10)}">`).join('\n')}]>\n<gpx><wpt lat="1" lon="1"><name>&bbbbbbbbb;</name></wpt></gpx>`;
    expect([refusal(bomb).code, refusal(bomb).text]).toEqual(['xml-document-type', expect.stringContaining('line 2')]);
    const outside =
      '<!DOCTYPE gpx [<!ENTITY f SYSTEM "file:///etc/passwd">]><gpx><wpt lat="1" lon="1"><name>&f;</name></wpt></gpx>';
    expect(refusal(outside).code).toBe('xml-document-type');
  });

  test('is refused where it is another format, too large, or in no encoding', () => {
    expect(refusal('<svg/>')).toMatchObject({ code: 'gpx-other' });
    expect(refusal('this is no XML')).toMatchObject({ code: 'xml-broken' });
    expect(refusal(new Uint8Array(9 * 2 ** 20).fill(32))).toMatchObject({ code: 'file-large' });
    expect(refusal(Uint8Array.from([60, 103, 112, 120, 62, 0xff, 0xfe, 60]))).toMatchObject({ code: 'xml-encoding' });
  });

  test('is read in the encoding that it declares, and as deep as it goes', () => {
    const [lon, lat] = placeIn('West', 1, 1);
    const latin = gpx(`<wpt lat="${lat}" lon="${lon}"><name>Wäldchen</name></wpt>`).replace('UTF-8', 'ISO-8859-1');
    const bytes = Uint8Array.from(latin, (one) => one.charCodeAt(0));
    expect(records(bytes).waypoints[0]!.name).toBe('Wäldchen');
    const deep = `<extensions>${'<a>'.repeat(20_000)}${'</a>'.repeat(20_000)}</extensions>`;
    expect(records(gpx(deep, track(point(0, 0), point(1, 0)))).lines.length).toBe(1);
  });
});

test('a GPX file is recognized by what is in it, and by its name alone where that is damaged', () => {
  const head = (text: string) => new TextEncoder().encode(text);
  const bundle = { name: 'x.xml', parts: [] };
  expect(gpxImporter.recognize(bundle, head(gpx()))).toBe(1);
  expect(gpxImporter.recognize(bundle, head('<g:gpx xmlns:g="http://www.topografix.com/GPX/1/1">'))).toBe(1);
  expect(gpxImporter.recognize(bundle, head('<kml/>'))).toBe(0);
  expect(gpxImporter.recognize({ ...bundle, name: 'X.GPX' }, head('oh'))).toBe(0.9);
});
