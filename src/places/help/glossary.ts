/** The words of the page: the trade's, and ours, each used everywhere the same way. */
export interface Term {
  readonly word: string;
  /** Other words that a reader may look for. */
  readonly also?: readonly string[];
  readonly means: string;
}

export const GLOSSARY: readonly Term[] = [
  {
    word: 'activation',
    also: ['rain'],
    means: 'Rain, or working in, that brings a residual into the soil water, where seedlings meet it.',
  },
  { word: 'attachment', also: ['file'], means: 'A file that you gave, kept byte for byte and never changed.' },
  { word: 'boundary', also: ['field outline'], means: 'The outline of a field, holes left out.' },
  { word: 'buffer', means: 'A strip added round a zone, or kept free round what must not be sprayed.' },
  { word: 'burndown', also: ['pre-plant'], means: 'Spraying what is green before the crop is planted.' },
  { word: 'chaff', means: 'What the sieves of the combine blow out behind: husks, and most of the small weed seed.' },
  { word: 'chaff line', means: 'Chaff laid in one narrow line instead of being spread.' },
  {
    word: 'clean-out',
    also: ['cleaning', 'clean-down'],
    means:
      'Getting plant matter and seed out of the combine between fields: limited in a quarter to half an hour, thorough in hours.',
  },
  {
    word: 'clumping',
    also: ['patchiness', 'k'],
    means:
      'How far weeds stand together rather than scattered; measured by k of the negative binomial: small k, strong clumps.',
  },
  { word: 'cohort', means: 'Weeds that come up at about the same time: early, with the crop, late.' },
  {
    word: 'control rating',
    also: ['efficacy'],
    means: 'How much of a cohort a pass kills: excellent, good, fair or poor, as your state’s guide rates it.',
  },
  { word: 'cover', also: ['residual cover'], means: 'Days on which a residual still controls weeds as they come up.' },
  { word: 'cover gap', also: ['gap'], means: 'Days on which no residual controls what comes up.' },
  {
    word: 'degree-day',
    also: ['GDD', 'heat unit', 'thermal time'],
    means: 'Warmth summed over days: a day that is ten degrees above the base on average gives ten.',
  },
  { word: 'density', means: 'Plants per area of ground.' },
  { word: 'effort', means: 'The ground that was looked at for a count; without it a count says nothing.' },
  { word: 'emergence', means: 'Seedlings coming up.' },
  { word: 'escape', also: ['survivor'], means: 'A weed that is alive after the last pass meant to control it.' },
  { word: 'exclusion', means: 'Ground inside a field that is not farmed: a waterway, a yard, a pond.' },
  {
    word: 'farm file',
    means: 'One .zip with the farm and every file that you gave; the page and the command line both open it.',
  },
  { word: 'flow delay', also: ['lag'], means: 'Seconds between cutting and the grain’s passing the sensor.' },
  { word: 'gain', means: 'The cost of doing nothing new that a program avoids, less what the program costs.' },
  {
    word: 'hand-off',
    means: 'Everything that the applicator gets for one pass: files, rates, totals, loads, cautions.',
  },
  {
    word: 'harvest log',
    also: ['yield monitor', 'yield data'],
    means: 'The combine’s record of where it was, second by second, with grain flow, moisture and width.',
  },
  { word: 'header', also: ['head', 'cutter bar'], means: 'The front of the combine that cuts and gathers.' },
  { word: 'infested area', means: 'Ground where the weed is denser than the threshold, with its range.' },
  {
    word: 'kriging',
    means:
      'Drawing a surface through points, weighing neighbors by how alike near points are, with its own measure of doubt.',
  },
  {
    word: 'likeness by distance',
    also: ['variogram', 'nugget', 'sill', 'range of likeness'],
    means:
      'How much two stops differ, by how far apart they lie. Where the curve levels off, one tells nothing of the other; where it begins is what even stops side by side differ by.',
  },
  {
    word: 'lodged seed',
    means: 'Seed caught on ledges and in corners of the combine, let go slowly, some of it in the next field.',
  },
  {
    word: 'mild, central, harsh',
    also: ['case'],
    means:
      'Three whole sets of biology in which everything is worked out; a range is the least and largest of the three.',
  },
  {
    word: 'overlapping residual',
    also: ['layered residual'],
    means: 'A second residual put on before the first one ends.',
  },
  { word: 'pass', means: 'One drive across the field, or one trip with the sprayer.' },
  { word: 'post-emergence', also: ['post'], means: 'Spraying weeds that are up.' },
  { word: 'pre-emergence', also: ['pre'], means: 'Spraying the soil before weeds come up.' },
  {
    word: 'prescription',
    also: ['rate map'],
    means: 'Zones with a rate each, as the machine’s controller reads them.',
  },
  {
    word: 'program',
    means: 'The passes of a season against weeds, with their ingredients, shares of the full rate and control ratings.',
  },
  { word: 'quadrat', also: ['frame'], means: 'A small area of known size in which all weeds are counted.' },
  {
    word: 'range',
    means:
      'From the least to the largest that is likely, with the most likely between. It is as much of the answer as the number.',
  },
  {
    word: 'rating',
    means: 'What a person knows of a field in a word: not looked, none seen, few, patches, throughout.',
  },
  {
    word: 're-entry interval',
    means: 'Hours after spraying in which nobody goes into the field without what the label asks for.',
  },
  {
    word: 'residual',
    also: ['residual herbicide', 'soil herbicide'],
    means: 'A herbicide that stays in the soil and controls weeds as they come up.',
  },
  { word: 'retention', also: ['shatter'], means: 'The share of the seed that is still on the plant on a day.' },
  { word: 'scouting round', also: ['scouting'], means: 'Counts and ratings of a farm within some weeks.' },
  { word: 'section control', means: 'Parts of the boom that switch on and off by themselves.' },
  {
    word: 'seed ledger',
    means:
      'Where all the seed of a field went in a season: produced, shed, moved, carried in and out, destroyed, landed.',
  },
  { word: 'seed return', also: ['seed rain'], means: 'New seed that falls to the ground.' },
  { word: 'seedbank', also: ['seed bank'], means: 'Live seed in the soil.' },
  {
    word: 'site of action group',
    also: ['mode of action', 'HRAC', 'WSSA', 'group'],
    means: 'How a herbicide kills, by its number. Weeds resistant to one of a group often stand the others.',
  },
  {
    word: 'stake',
    also: ['cost of doing nothing new'],
    means:
      'What the weed costs over the years ahead if everything is done as now: yield lost and extra control, in today’s money.',
  },
  { word: 'stewardship', means: 'Using several sites of action that still work, so that they go on working.' },
  { word: 'swath', means: 'The strip that is cut in one pass.' },
  { word: 'tank load', means: 'One filling of the sprayer.' },
  { word: 'threshold', means: 'Plants per area above which ground counts as infested; yours to set.' },
  { word: 'tier', means: 'A group of fields that the evidence cannot rank among themselves.' },
  {
    word: 'unknown',
    means: 'Ground or a number that nobody can tell from what is there. It is hatched, and never counted as clean.',
  },
  { word: 'work order', means: 'The printed sheet for one pass, with map, totals, loads and cautions.' },
  { word: 'working', means: 'How a number was made: formula, inputs with units, sources, and how sure each is.' },
  { word: 'zone', means: 'Part of a field that is treated its own way.' },
];

/** Terms whose word, other names or meaning hold what is looked for; those whose word begins with it first. */
export function findTerms(looked: string): readonly Term[] {
  const text = looked.trim().toLowerCase();
  if (text === '') return GLOSSARY;
  const place = ({ word, also = [], means }: Term) => {
    const names = [word, ...also].map((one) => one.toLowerCase());
    if (names.some((one) => one.startsWith(text))) return 0;
    if (names.some((one) => one.includes(text))) return 1;
    return means.toLowerCase().includes(text) ? 2 : 3;
  };
  return GLOSSARY.map((term) => ({ term, at: place(term) }))
    .filter((one) => one.at < 3)
    .sort((a, b) => a.at - b.at)
    .map((one) => one.term);
}
