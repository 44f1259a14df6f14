/** What is looked at: place, field, season, shade. Its address can be sent: `#/<farm>/<place>?field=…&season=…&shade=…&task=…`. */
import { PLACES, type PlaceId, SHADES, type ShadeId, TASKS, type TaskId } from './places.ts';

export class View {
  private atPlace = $state<PlaceId>('farm');
  private selectedField = $state<string | null>(null);
  private chosenSeason = $state<number | null>(null);
  private chosenShade = $state<ShadeId | null>(null);
  private chosenSpecies = $state<string | null>(null);
  private atTask = $state<TaskId | null>(null);
  private openWorking = $state<string | null>(null);
  /** The farm that the address asked for; null: whichever is open. */
  private wantedFarm = $state<string | null>(null);

  get place(): PlaceId {
    return this.atPlace;
  }
  get field(): string | null {
    return this.selectedField;
  }
  /** null: the season that the study looks at. */
  get season(): number | null {
    return this.chosenSeason;
  }
  /** null: the one that belongs to the place. */
  get shade(): ShadeId | null {
    return this.chosenShade;
  }
  get species(): string | null {
    return this.chosenSpecies;
  }
  /** What is done by itself, over the whole screen; null: the place is read. */
  get task(): TaskId | null {
    return this.atTask;
  }
  get farm(): string | null {
    return this.wantedFarm;
  }
  /** Path of the number whose working is open. */
  get working(): string | null {
    return this.openWorking;
  }

  go(place: PlaceId): void {
    this.atPlace = place;
    this.atTask = null;
    this.openWorking = null;
  }
  select(id: string | null): void {
    this.selectedField = id;
  }
  /** Pressing what is selected lets it go. */
  toggle(id: string): void {
    this.selectedField = this.selectedField === id ? null : id;
  }
  lookAtSeason(year: number | null): void {
    this.chosenSeason = year;
  }
  shadeBy(shade: ShadeId | null): void {
    this.chosenShade = shade;
  }
  lookAtSpecies(id: string | null): void {
    this.chosenSpecies = id;
  }
  begin(task: TaskId): void {
    this.atTask = task;
    this.openWorking = null;
  }
  /** Back to the place that it was begun from. */
  leaveTask(): void {
    this.atTask = null;
  }
  showWorking(path: string | null): void {
    this.openWorking = path;
  }
  /** Another farm is on the desk: what was selected in the one before means nothing in it. */
  turnTo(farm: string | null): void {
    if (this.wantedFarm === farm) return;
    this.wantedFarm = farm;
    this.selectedField = null;
    this.chosenSeason = null;
    this.chosenSpecies = null;
    this.atTask = null;
    this.openWorking = null;
  }

  addressIn(farm: string): string {
    const query = new URLSearchParams();
    if (this.selectedField !== null) query.set('field', this.selectedField);
    if (this.chosenSeason !== null) query.set('season', String(this.chosenSeason));
    if (this.chosenShade !== null) query.set('shade', this.chosenShade);
    if (this.chosenSpecies !== null) query.set('species', this.chosenSpecies);
    if (this.atTask !== null) query.set('task', this.atTask);
    const text = query.toString();
    return `#/${encodeURIComponent(farm)}/${this.atPlace}${text === '' ? '' : `?${text}`}`;
  }

  /** What an address does not name, or names wrongly, is at its beginning. */
  goTo(address: string): void {
    const match = /^#\/([^/?]*)(?:\/([^/?]*))?(?:\?(.*))?$/.exec(address);
    const query = new URLSearchParams(match?.[3] ?? '');
    const season = Number(query.get('season'));
    this.wantedFarm = decoded(match?.[1]) || null;
    this.atPlace = PLACES.find((one) => one.id === match?.[2])?.id ?? 'farm';
    this.selectedField = query.get('field');
    this.chosenSeason = Number.isInteger(season) && season > 0 ? season : null;
    this.chosenShade = SHADES.find((one) => one.id === query.get('shade'))?.id ?? null;
    this.chosenSpecies = query.get('species');
    this.atTask = TASKS.find((one) => one === query.get('task')) ?? null;
    this.openWorking = null;
  }
}

function decoded(part: string | undefined): string {
  try {
    return decodeURIComponent(part ?? '');
  } catch {
    return '';
  }
}
