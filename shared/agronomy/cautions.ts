/**
 * What has to be said wherever a herbicide, a rate or a machine appears, in our own words. Facts and how far each was
 * verified: management.json → cautions; sources by key. The product label is the law and always comes first.
 */

export type CautionPlace =
  | 'product'
  | 'rate'
  | 'machine'
  | 'clean-out'
  | 're-entry'
  | 'destroying crop'
  | 'first find of Palmer amaranth'
  | 'cab'
  | 'estimates';

export interface Caution {
  readonly text: string;
  /** Key of sources.ts. */
  readonly source: string;
}

const say = (text: string, source = 'common-practice'): Caution => ({ text, source });

export const CAUTIONS: Readonly<Record<CautionPlace, readonly Caution[]>> = {
  product: [
    say('The product label is the law. Where it and this page differ, the label rules.', 'fifra12'),
    say('Use by a licensed applicator, or under one, and under local rules.', 'cfr171'),
    say('Everyone who handles the product has read the label or been told it so that they understood.', 'cfr170-503'),
    say('Wear what the label asks for when mixing, loading and applying.', 'cfr170'),
    say(
      'Keep drift off homes, hives, crops and water: wind, droplet and boom height as the label says. Calm evenings often hold an inversion.',
    ),
    say('Where the label points to endangered species, get the bulletin for place and month and follow it.', 'mda-blt'),
    say('Days before harvest and before the next crop: the longest of every product in the tank governs.', 'cfr156'),
    say('Plant-back times add up where residuals overlap: check every ingredient before choosing the next crop.'),
    say(
      'A population that has grown resistant stays so: mix sites of action that still work, and let no escape set seed.',
      'norsworthy2012',
    ),
  ],
  rate: [
    say('Rates are typed in from the label by you and held inside its limits; this tool proposes none.', 'fifra12'),
    say('Never above the label rate or its season’s maximum.', 'wac-label'),
    say(
      'Less than the full rate may be lawful and still unwise: cover is shorter by an amount nobody knows well, and resistance is favored.',
      'norsworthy2012',
    ),
  ],
  machine: [
    say(
      'Outside the zones, and when the position is lost, the machine applies nothing unless the order says otherwise.',
    ),
    say('Check section control and rate on a short run before the field.'),
    say('Keep people and animals away while spraying: the exclusion distance depends on the droplets.', 'cfr170-405'),
    say('Watch for fire in dry crop: keep the machine clean, and an extinguisher within reach.', 'fire-unl'),
  ],
  'clean-out': [
    say('First, self-cleaning: operator in the cab, doors open, everyone else 100 ft (30 m) away.', 'isu-clean2016'),
    say(
      'Then by hand: engine off, key out, all movement stopped, header blocked before anyone reaches in.',
      'osha1928',
    ),
    say('Eye protection, dust mask and gloves with compressed air; hearing protection where fans run.'),
    say(
      'Look for smoldering chaff before you leave: most fires start round engine, turbocharger and exhaust.',
      'fire-unl',
    ),
    say('Clean down in the field that the seed came from, never on the road.'),
  ],
  're-entry': [
    say('Nobody enters before the label’s re-entry interval has passed: scouts and hand crews included.', 'cfr156-208'),
    say('Tell workers, and post the field where the label says so.', 'cfr170'),
  ],
  'destroying crop': [
    say('Before cutting, mowing or destroying crop: ask the insurer and the landlord first.'),
    say('No grazing and no baling against the label of what was sprayed.', 'fifra12'),
    say(
      'Burning chaff or windrows needs permits, firebreaks and the right wind, and is banned in many places and seasons.',
    ),
  ],
  'first find of Palmer amaranth': [
    say('Have it confirmed first: seedlings of waterhemp and Palmer amaranth are easily mistaken.'),
    say('Look up the state’s noxious-weed rule: reporting or destroying it may be required.'),
    say('Pull single plants and take them out before they set seed; stop machines from carrying seed on.'),
  ],
  cab: [say('Mark places only when stopped, or let a passenger do it.')],
  estimates: [
    say(
      'Estimates are for planning: they rest on few counts, and parameters differ several-fold by place and year. Look at the place before you act.',
    ),
  ],
};

/** Everything that is said at the given places, each text once, in order. */
export function cautionsFor(places: readonly CautionPlace[]): Caution[] {
  const said = new Map<string, Caution>();
  for (const place of places) for (const one of CAUTIONS[place]) if (!said.has(one.text)) said.set(one.text, one);
  return [...said.values()];
}
