/** The round that a person is on: which weed, which season and day, and the word that each field has so far. */
import { speciesOf } from '../../../shared/agronomy/species.ts';
import type { Edit } from '../../../shared/model/edit.ts';
import { rateField, ratingIn } from '../../../shared/model/edits/ratings.ts';
import type { Farm } from '../../../shared/model/farm.ts';
import type { Rating } from '../../../shared/model/records.ts';
import type { Day } from '../../../shared/units/calendar.ts';
import type { FileRating } from '../../../shared/model/edits/ratings.ts';
import type { Desk } from '../../state/desk.svelte.ts';
import { today } from '../telling/today.ts';
import { weedOf } from '../telling/weed-of.ts';

export class RoundNow {
  private chosenDay = $state<Day | null>(null);
  private fromFiles = $state.raw<readonly FileRating[]>([]);

  constructor(private readonly desk: Desk) {}

  get species(): string {
    return weedOf(this.desk.farm, this.desk.view.species);
  }
  /** The season looked at; of a real farm never an older one than this year's. */
  get season(): number {
    if (this.chosenDay !== null) return Number(this.chosenDay.slice(0, 4));
    const { farm, view, analysis } = this.desk;
    const thisYear = Number(today().slice(0, 4));
    const studied = view.season ?? analysis.study?.farm.season ?? null;
    if (view.season !== null || farm?.invented) return studied ?? thisYear;
    return Math.max(studied ?? thisYear, thisYear);
  }
  /** The day that was looked: as said, else today where it is of the season; null: some time in it. */
  get day(): Day | null {
    const now = today();
    return this.chosenDay ?? (now.startsWith(`${this.season}-`) ? now : null);
  }
  lookedOn(day: Day | null): void {
    this.chosenDay = day;
  }

  ratingOf(field: string, species = this.species): Rating | null {
    const { farm } = this.desk;
    return farm && ratingIn(farm, this.season, field, species, this.fromFiles);
  }

  /** Nothing happens where the field has the word already. */
  rate(field: string, rating: Rating): void {
    const { farm } = this.desk;
    const now = this.ratingOf(field) ?? 'not looked';
    if (!farm || now === rating) return;
    this.desk.edit(this.editOf(farm, field, rating));
  }

  /** Asks the core for the words that came in files; call it in an effect. */
  async learn(season: number): Promise<void> {
    this.fromFiles = await this.desk.analysis.ask('ratings', { season });
  }

  private editOf(farm: Farm, field: string, rating: Rating): Edit {
    return rateField(farm, {
      field: farm.fields.find((one) => one.id === field)!,
      species: speciesOf(this.species),
      rating,
      season: this.season,
      on: this.day,
    });
  }
}
