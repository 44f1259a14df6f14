import { Window } from 'happy-dom';
import { expect, test } from 'vitest';
import { gpxText } from '../../../shared/export/gpx.ts';

test('waypoints and a route stand in order, in the namespace of GPX 1.1, and odd names come back as they were', () => {
  const places = [
    { lon: -93.5123456, lat: 42.0000001, name: 'Stop 1 <"A" & \'B\'>', says: 'Count 1 m²' },
    { lon: -93.6, lat: 42.1, name: 'Stop\u0007 2', says: '' },
  ];
  const text = gpxText('Far Piece, next stops', places);
  const document = new new Window().DOMParser().parseFromString(text, 'application/xml');
  const of = (tag: string) => [...document.getElementsByTagName(tag)];
  expect(document.documentElement.getAttribute('xmlns')).toBe('http://www.topografix.com/GPX/1/1');
  expect(document.documentElement.getAttribute('version')).toBe('1.1');
  for (const tag of ['wpt', 'rtept']) {
    expect(of(tag).map((one) => [Number(one.getAttribute('lon')), Number(one.getAttribute('lat'))])).toEqual([
      [-93.5123456, 42.0000001],
      [-93.6, 42.1],
    ]);
    expect(of(tag).map((one) => one.getElementsByTagName('name')[0]!.textContent)).toEqual([places[0]!.name, 'Stop 2']);
  }
});

test('a place that is nowhere is never written', () => {
  expect(() => gpxText('x', [{ lon: 200, lat: 0, name: 'Stop 1', says: '' }])).toThrow('Stop 1 is at 200');
});
