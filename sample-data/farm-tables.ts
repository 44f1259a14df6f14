/** The farm's small tables: what was planted and what it stands, what was sprayed, fields that were only rated. All invented. */
import { Draws } from './draws.ts';
import { FIELD_SEASONS, laterBy, type FieldSeason } from './seasons.ts';

const BUSHEL_KG = { corn: 25.40117272, soybean: 27.2155422 } as const;
const ACRE_HA = 0.40468564224;

/** What the two crops of this farm are stated to stand: one trait package each, invented. */
export const TOLERATES = {
  corn: 'S-metolachlor; acetochlor; pyroxasulfone; atrazine; mesotrione; glyphosate; glufosinate',
  soybean: 'S-metolachlor; acetochlor; pyroxasulfone; metribuzin; fomesafen; glyphosate; glufosinate',
} as const;

/** The one field and year of which nobody wrote down what the variety tolerates. */
export const NOT_STATED = { field: 'Corner', year: 2026 } as const;

const csv = (lines: readonly string[]): string => `${lines.join('\n')}\n`;

export function cropTable(): string {
  return csv([
    'Field,Year,Crop,Planted,Emerged,Mature,Harvested,Row spacing (in),Expected yield (bu/ac),Tolerates',
    ...FIELD_SEASONS.map((season) => {
      const { field, year, crop } = season;
      const bushels = (season.expectedYieldKgHa * ACRE_HA) / BUSHEL_KG[crop];
      const stated = field.name === NOT_STATED.field && year === NOT_STATED.year ? '' : TOLERATES[crop];
      const rows = crop === 'corn' ? 30 : 15;
      return `${field.name},${year},${crop},${season.plantedOn},${season.emergedOn},${season.matureOn},${season.harvestedOn},${rows},${bushels.toFixed(0)},${stated}`;
    }),
  ]);
}

interface Sprayed {
  readonly day: number;
  readonly parts: readonly (readonly [ingredient: string, rateFraction: number])[];
}

/** The farm's habit so far: cut rates before the crop, one rescue pass. The best fields got an overlapping residual in 2026. */
function habit({ crop, year, field }: FieldSeason, draws: Draws): Sprayed[] {
  const pre = draws.whole(-2, 3);
  const post = draws.whole(31, 40);
  if (crop === 'corn') {
    return [
      {
        day: pre,
        parts: [
          ['acetochlor', 0.6],
          ['atrazine', 0.5],
        ],
      },
      {
        day: post,
        parts: [
          ['mesotrione', 0.75],
          ['glyphosate', 1],
        ],
      },
    ];
  }
  const careful = year === 2026 && ['tower', 'the-point'].includes(field.id);
  const passes: Sprayed[] = [
    {
      day: pre,
      parts: careful
        ? [
            ['S-metolachlor', 1],
            ['metribuzin', 0.75],
          ]
        : [
            ['S-metolachlor', 0.5],
            ['metribuzin', 0.5],
          ],
    },
    {
      day: post,
      parts: [
        ['glyphosate', 1],
        ['fomesafen', careful ? 1 : 0.75],
      ],
    },
  ];
  if (careful)
    passes.splice(1, 0, {
      day: 22,
      parts: [
        ['pyroxasulfone', 0.67],
        ['glufosinate', 1],
      ],
    });
  return passes;
}

export function sprayTable(): string {
  const draws = new Draws('sprayings');
  const lines = ['field,date,ingredient,share_of_full_label_rate'];
  for (const season of FIELD_SEASONS) {
    for (const { day, parts } of habit(season, draws)) {
      for (const [ingredient, share] of parts) {
        lines.push(`${season.field.name},${laterBy(season.plantedOn, day)},${ingredient},${share}`);
      }
    }
  }
  return csv(lines);
}

/** One field is known by its rating alone; some rows were never filled in. */
export function ratingTable(): string {
  return csv([
    'field,species,rating,date',
    'Corner,waterhemp,patches,2026-09-03',
    'Corner,Palmer amaranth,none seen,2026-09-03',
    'North Flat,waterhemp,few,2026-09-03',
    'Twenty,waterhemp,few,2026-09-04',
    'Creek,Palmer amaranth,few,2026-08-31',
    'Old Lane,waterhemp,,',
    'Far Piece,waterhemp,,',
  ]);
}
