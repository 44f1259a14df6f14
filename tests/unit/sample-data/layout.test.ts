import { describe, expect, it } from 'vitest';
import { FIELDS, HARVEST_ORDER, ringsOf } from '../../../sample-data/layout.ts';
import { isInside, ringAreaM2 } from '../../../sample-data/outline.ts';
import { rasterOf } from '../../../sample-data/soil-raster.ts';
import { PATCHES } from '../../../sample-data/weeds.ts';
import { alongRoads } from '../../../sample-data/ground.ts';
import { closeTo } from '../../support/close-to.ts';

describe('the invented farm', () => {
  it('has 14 fields of 20–75 ha, 550–700 ha in all, 7 or 8 of them soybean in 2026', () => {
    expect(FIELDS).toHaveLength(14);
    for (const field of FIELDS) {
      expect(field.areaM2, field.name).toBeGreaterThan(200_000);
      expect(field.areaM2, field.name).toBeLessThan(750_000);
    }
    const hectares = FIELDS.reduce((sum, { areaM2 }) => sum + areaM2, 0) / 10_000;
    expect(hectares).toBeGreaterThan(550);
    expect(hectares).toBeLessThan(700);
    expect([7, 8]).toContain(FIELDS.filter(({ crops }) => crops[2026] === 'soybean').length);
    for (const { crops } of FIELDS) {
      expect(crops[2025]).not.toBe(crops[2026]);
      expect(crops[2024]).toBe(crops[2026]);
    }
  });

  it('holds a pond, a waterway that is driven over, a field in two parts, a triangle and an L', () => {
    const of = (id: string) => FIELDS.find((field) => field.id === id)!;
    expect(of('home').parts[0]!.crossable).toEqual([false, false]);
    expect(of('waterway').parts[0]!.crossable).toEqual([false, true]);
    expect(of('both-sides').parts).toHaveLength(2);
    expect(of('the-point').parts[0]!.rings[0]).toHaveLength(3);
    expect(of('elbow').parts[0]!.rings[0]).toHaveLength(6);
  });

  it('lays no field over another', () => {
    for (const field of FIELDS) {
      const { grid, insideM2 } = rasterOf(ringsOf(field));
      const others = FIELDS.filter((one) => one !== field).map(ringsOf);
      for (let cell = 0; cell < insideM2.length; cell += 7) {
        if (insideM2[cell]! < 25) continue;
        const x = grid.x0M + ((cell % grid.columns) + 0.5) * 5;
        const y = grid.y0M + (Math.floor(cell / grid.columns) + 0.5) * 5;
        expect(
          others.some((rings) => isInside(rings, x, y)),
          `${field.name} at ${x}, ${y}`,
        ).toBe(false);
      }
    }
  });

  it('turns outsides left and holes right, and its raster has the outlines’ area', () => {
    for (const field of FIELDS) {
      for (const { rings } of field.parts) {
        rings.forEach((ring, i) => expect(ringAreaM2(ring) > 0, field.name).toBe(i === 0));
      }
      const { insideM2 } = rasterOf(ringsOf(field));
      const area = insideM2.reduce((sum, m2) => sum + m2, 0);
      closeTo(area / field.areaM2, 1, { within: 1e-4, because: 'cells of 0.5 m along a few kilometres of edge' });
    }
  });

  it('keeps counts in at least 11 fields and one field that nobody looked at', () => {
    const counted = FIELDS.filter(({ places }) => places > 0);
    expect(counted.length).toBeGreaterThanOrEqual(11);
    expect(FIELDS.filter(({ evidence }) => evidence === 'nobody looked')).toHaveLength(1);
    expect(FIELDS.filter(({ evidence }) => evidence === 'rating')).toHaveLength(1);
    expect(FIELDS.filter(({ evidence }) => evidence === 'drawn')).toHaveLength(1);
  });

  it('plants every patch inside its field’s outside (one follows the waterway)', () => {
    expect(Object.keys(PATCHES).sort()).toEqual(FIELDS.map(({ id }) => id).sort());
    for (const field of FIELDS) {
      for (const patch of PATCHES[field.id]!) {
        expect(
          isInside(
            field.parts.map(({ rings }) => rings[0]!),
            ...alongRoads(patch.at),
          ),
          `${field.name} ${patch.at.join()}`,
        ).toBe(true);
      }
    }
  });

  it('harvests one field a day, in 2026 from 20 September to 31 October, all but one with a log', () => {
    const days = HARVEST_ORDER.map(({ harvest }) => harvest.on);
    expect(new Set(days).size).toBe(14);
    expect(days[0]! >= '2026-09-20' && days.at(-1)! <= '2026-10-31').toBe(true);
    expect(FIELDS.filter(({ harvest }) => !harvest.log)).toHaveLength(1);
  });
});
