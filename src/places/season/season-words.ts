/** Sentences of the season, made from its strips. */
import { isClosed } from '../../../shared/agronomy/re-entry.ts';
import type { CoverGap, SpeciesStrip } from '../../../shared/analysis/season-strip.ts';
import type { FieldStudy } from '../../../shared/analysis/study.ts';
import { shortDay } from '../../charts/day-axis.ts';
import type { FieldStrip, StripSpraying } from '../../state/answers.ts';
import { percent, percents } from '../telling/range-words.ts';

/** A smaller share of the emergence is not worth a word: it would be said as 0%. */
export const LEAST_TOLD = 0.005;

/** The weed that most places had this season, else the first that the farm works on. */
export function usualWeed(fields: readonly FieldStudy[]): string | null {
  const positives = new Map<string, number>();
  for (const one of fields.flatMap((field) => field.bySpecies)) {
    positives.set(one.species, (positives.get(one.species) ?? 0) + one.positives);
  }
  return [...positives].sort((a, b) => b[1] - a[1])[0]?.[0] ?? null;
}

export function stripOf(strip: FieldStrip | undefined, species: string | null): SpeciesStrip | null {
  return strip?.species.find((one) => one.species === species) ?? null;
}

/** Gaps that something came up in. */
export function toldGaps({ gaps }: SpeciesStrip): readonly CoverGap[] {
  return gaps.filter((one) => (one.shareFraction.high ?? 0) >= LEAST_TOLD);
}

export function gapWords({ fromDay, toDay, shareFraction }: CoverGap): string {
  return `${shortDay(fromDay)} to ${shortDay(toDay)}: ${percents(shareFraction)}`;
}

/** The gap into which most of the emergence falls. */
export function widestGap(gaps: readonly CoverGap[]): CoverGap | null {
  return gaps.reduce<CoverGap | null>(
    (a, b) => ((b.shareFraction.central ?? 0) > (a?.shareFraction.central ?? 0) ? b : a),
    null,
  );
}

/** "S-metolachlor at 50% of the full label rate, glyphosate at the full label rate". */
export function sprayedWords({ parts }: StripSpraying): string {
  const each = parts.map(({ ingredient, rateFraction }) =>
    rateFraction === 1
      ? `${ingredient} at the full label rate`
      : `${ingredient} at ${percent(rateFraction)} of the full label rate`,
  );
  return each.join(', ');
}

export interface Closed {
  readonly spraying: StripSpraying;
  /** What lies in the closed days. */
  readonly what: string;
}

/** Entries of people on days on which the field is closed after a spraying. */
export function entriesWhileClosed(strip: FieldStrip): Closed[] {
  return strip.sprayings.flatMap((spraying) => {
    const { closed } = spraying;
    if (!closed) return [];
    const rounds = strip.rounds
      .filter(({ fromDay, toDay }) => isClosed(closed, fromDay, toDay))
      .map(
        ({ fromDay, toDay }) => `scouting of ${shortDay(fromDay)}${toDay === fromDay ? '' : ` to ${shortDay(toDay)}`}`,
      );
    const sightings = strip.sightings
      .filter(({ day }) => day !== spraying.day && isClosed(closed, day))
      .map(({ day }) => `a look on ${shortDay(day)}`);
    return [...rounds, ...sightings].map((what) => ({ spraying, what }));
  });
}

export interface Missing {
  readonly what: string;
  readonly lifts: string;
}

/** What the strip lacks, and what would lift it. */
export function missingOf(strip: FieldStrip, weed: SpeciesStrip | null): Missing[] {
  const out: Missing[] = [];
  if (!strip.weather) {
    out.push({
      what: `No weather of ${strip.year} is here.`,
      lifts:
        'Bring in daily temperature and rain from March 1 on: emergence then follows the warmth, and rain activates the residuals.',
    });
  }
  if (!strip.plantedStated) {
    out.push({
      what: `Planting is taken as ${shortDay(strip.plantedDay)}: ${strip.plantedFrom}.`,
      lifts: 'Say on which day it was planted.',
    });
  }
  if (strip.sprayings.length === 0) {
    out.push({
      what: 'No spraying is on record, so every day counts as uncovered.',
      lifts: 'Say what was sprayed and when.',
    });
  }
  if (weed?.basis === 'calendar band') {
    out.push({
      what: `Emergence is ${weed.emergenceFrom}.`,
      lifts: 'Say when the first seedlings were seen: it overrides all else.',
    });
  }
  if (strip.sprayings.length > 0 && strip.sprayings.some((one) => one.closed === null)) {
    out.push({
      what: 'For some sprayings no re-entry interval is typed in, so nobody is warned of entering too early.',
      lifts: 'Type the hours from the label.',
    });
  }
  return out;
}
