/** How each place's numbers are worked out, in plain words, with the sources that each paragraph rests on. */
import type { PlaceId } from '../../state/places.ts';
import { type HelpPage, say } from './help-page.ts';

export const HELP_PAGES: Readonly<Record<PlaceId, HelpPage>> = {
  farm: {
    title: 'Fields are ranked by the seed that would fall over years, not by this year’s loss',
    parts: [
      {
        heading: 'Why seed and not yield',
        paragraphs: [
          say(
            'One waterhemp plant that comes up with soybean and survives can carry hundreds of thousands of seed; in these sums an average plant at low density sheds {waterhemp.seedProduction.soybean.perPlant|n}.',
            'hartzler2004',
          ),
          say(
            'Without new seed the bank in the soil runs down fast: of waterhemp seed in tilled ground {waterhemp.seedbank.survival.tilled|%} is left after a year. So a few years without seed return change a field, and one bad harvest undoes them.',
            'buhler2001',
            'steckel2007',
            'korres2018',
          ),
          say(
            'Advice on resistance therefore asks to stop seed from forming, and not to wait until this year’s loss pays for it.',
            'norsworthy2012',
          ),
        ],
      },
      {
        heading: 'What “cost of doing nothing new” means',
        paragraphs: [
          say(
            'The yield lost this year and in the years to come, if everything is done as now, and the extra work of control, in today’s money. Later years count less: money is discounted by {economics.discountFraction|%} a year over the horizon that you set.',
            'common-practice',
          ),
          say(
            'Yield loss follows a curve that is steep at the first plants and flattens as they crowd; weeds that come up after the crop count for less, day by day.',
            'cousens1985',
            'cousens1987',
          ),
          say(
            'The gain of a program is the cost that it avoids less what it costs itself. Fields are ranked by gain for the money within your budget; where evidence is thin they stand in tiers and not in a row.',
            'common-practice',
          ),
        ],
      },
      {
        heading: 'What the ranges mean',
        paragraphs: [
          say(
            'Everything that rests on biology is worked out three times: mild, central and harsh. Mild and harsh are whole sets of values, taken a quarter of the way in from the ends of what is known. A range runs from the least to the largest of the three.',
            'assumed',
          ),
          say(
            'A field that nobody looked at is unknown. It is never counted as clean; in sums its own seed stands at none, and the seed that the combine brought in is followed all the same.',
            'assumed',
          ),
        ],
      },
    ],
    cautions: ['estimates'],
    words: ['stake', 'gain', 'seedbank', 'seed return', 'tier', 'range'],
  },
  infestation: {
    title: 'Counts become densities, and densities a map only where they can carry one',
    parts: [
      {
        heading: 'From counts to plants per area',
        paragraphs: [
          say(
            'Density is plants over ground looked at. Places without the weed are data and stay in. The mean of a field is all plants over all ground, not the mean of the single densities.',
            'common-practice',
          ),
          say(
            'Weeds stand in clumps, so counts vary far more than by chance: the usual measure of clumping, k, was 0.17 to 0.32 in two Nebraska fields. Ranges here are widened by the clumping that your counts show.',
            'johnson1996',
          ),
          say(
            'If all places are empty the field is not clean: the bound says how much weed could be there and yet be missed. Presence without a count, and “more than 20”, are used too.',
            'gold1996',
          ),
        ],
      },
      {
        heading: 'Which picture for how many places',
        paragraphs: [
          say(
            'Up to 7 places: points and the field’s mean. From 8: a sketch by distance, marked as one. From 20: a surface by the latent count model. It asks which densities could have made your counts, clumps and all, and gives each cell its chance of being above the threshold.',
            'diggle1998',
          ),
          say(
            'The infested area adds up those chances; it is not cut out of the mean surface, which is too smooth to be cut. Its range comes from many whole fields drawn as the counts allow, and is widened by what no count can tell: the shape of patches. A range computed from the surface alone would be far too narrow.',
            'hofer2010',
          ),
          say(
            'How far one stop speaks for another is drawn from all pairs of stops: how much two differ, by how far apart they lie. Each stop is also left out and guessed from the others by kriging, a second method: where the guesses are no better than the mean, the page says not to trust the map for where the weed stands.',
            'cressie1980',
          ),
        ],
      },
      {
        heading: 'Where the map says unknown',
        paragraphs: [
          say(
            'Ground outside the places that were looked at, or so far from them that they say nothing, is hatched and has no number. For protection it counts as infested, in an area it is left out and told beside it.',
            'assumed',
          ),
          say(
            'Each weed has its own unknown ground. A clean round, and counts without a pattern, speak for the whole field at once: they give a bound or a mean instead of a map. A rating speaks for no ground that could be named.',
            'assumed',
          ),
        ],
      },
    ],
    cautions: ['estimates', 'first find of Palmer amaranth', 'cab', 're-entry'],
    words: [
      'quadrat',
      'scouting round',
      'clumping',
      'kriging',
      'likeness by distance',
      'threshold',
      'infested area',
      'unknown',
    ],
  },
  harvest: {
    title: 'The combine’s log is retraced, and the seed on the plants is moved along it',
    parts: [
      {
        heading: 'The log, cleaned without deleting',
        paragraphs: [
          say(
            'Records that cannot be right (jumps, header up, ends of passes, odd moisture) get a flag and stay in the file. In two published studies 13 to 20% and about 30% of the records were set aside; in the first, most of them with the header up or at the ends of passes.',
            'simbahan2004',
            'vega2019',
          ),
          say(
            'Grain reaches the sensor some seconds after it was cut. The delay is found from neighboring passes driven in opposite directions; where they do not tell, the usual {yieldMonitor.delayS} s are kept.',
            'beal2001',
            'arslan2008',
          ),
          say(
            'Yield is mass over newly cut ground: where a pass overlaps the one before, only the fresh strip counts. Single records that stand out from their neighbors are flagged, too.',
            'drummond1999',
            'anselin1995',
          ),
        ],
      },
      {
        heading: 'The seed',
        paragraphs: [
          say(
            'Seed still on the plant at harvest: {waterhemp.seedRetention.soybean.R0|%} of waterhemp seed at soybean maturity, less with each day. Studies disagree (from half to nearly all at harvest), and the whole span is carried.',
            'schwartz2016',
            'schwartzlazaro2021a',
            'meadows2024',
          ),
          say(
            'At the header {machine.headerLossFraction|%} of it shatters and falls there. The rest enters the machine and leaves after some seconds in chaff and straw; a little rides in the grain; {machine.lodged.share|%} lodges on ledges and is let go slowly. That last part reaches the next field.',
            'winans2023',
            'meadows2024',
            'shirtliffe2005',
          ),
          say(
            'Seconds of delay and mixing inside the machine were set by us so that most seed falls within some 10 m, as most studies report, with a tail to some tens of meters. Nobody seems to have measured them for weed seed: they are the least sure numbers here.',
            'blancomoreno2004',
            'shirtliffe2005',
            'assumed',
          ),
          say(
            'The ledger closes: seed produced and carried in equals seed shed, left standing, lost at the header, landed, gone with the grain, destroyed, and still aboard.',
            'identity',
          ),
        ],
      },
      {
        heading: 'Order and clean-out',
        paragraphs: [
          say(
            'Harvest the clean fields first and the worst last. A limited clean-out of 15 to 30 minutes is taken to remove {machine.cleanOut.limited|%} of what is aboard, a thorough one of hours {machine.cleanOut.thorough|%}; the minutes are published, the shares are ours.',
            'isu-clean2016',
            'assumed',
          ),
          say(
            'Without a log the path is assumed from boundary, header width and heading, driven both ways, and everything that rests on it says so.',
            'assumed',
          ),
        ],
      },
    ],
    cautions: ['machine', 'clean-out', 'estimates'],
    words: ['pass', 'swath', 'header', 'flow delay', 'seed ledger', 'chaff', 'clean-out', 'lodged seed'],
  },
  season: {
    title: 'Warmth brings the weeds up, rain wakes a residual, and cover wears off',
    parts: [
      {
        heading: 'Emergence',
        paragraphs: [
          say(
            'Weeds come up by the warmth of the soil, summed day by day as degree-days above a base. Waterhemp goes on for {waterhemp.emergence.durationWeeks} weeks, far longer than most weeds. Where you saw the first seedlings, the curve is moved to that day.',
            'schutte2014',
            'ipm64',
          ),
          say(
            'There is more than one way to sum degree-days, and they differ: the way used here follows a sine between the day’s lowest and highest temperature.',
            'baskerville1969',
            'mcmaster1997',
          ),
        ],
      },
      {
        heading: 'Cover and its gaps',
        paragraphs: [
          say(
            'A residual covers for the weeks that growers see of its active ingredient, given with their range. It begins with rain: about {residual.activationRainMm} mm within {residual.activationWithinDays} days, unless the ingredient needs another amount.',
            'clemson-act2021',
            'common-practice',
          ),
          say(
            'Less than the full label rate shortens cover. By how much is not known: no field study of full against reduced rate was found. So it is drawn as a band; half a rate may hold half the days, or none, or two thirds.',
            'assumed',
          ),
          say(
            'Two residuals that act alone are put together by chance: what one lets through meets the other. A gap is a day on which less than {residual.controlThresholdFraction|%} of what comes up is controlled; the share of the emergence that falls into gaps is written in them.',
            'colby1967',
            'assumed',
          ),
        ],
      },
      {
        heading: 'Treat-by dates',
        paragraphs: [
          say(
            'Small weeds grow by warmth: waterhemp {waterhemp.height.mmPerGDD} mm a degree-day. The date is when the tallest would pass the height that the label allows, which you type in. Look in the field before you trust it.',
            'horak2000',
          ),
        ],
      },
      {
        heading: 'Sites of action',
        paragraphs: [
          say(
            'A pass counts only groups that still work on this weed on this farm. Several at once hold off resistance better than one after the other.',
            'norsworthy2012',
          ),
        ],
      },
    ],
    cautions: ['product', 'rate', 're-entry', 'estimates'],
    words: ['residual', 'cover', 'cover gap', 'activation', 'degree-day', 'site of action group', 'cohort'],
  },
  plan: {
    title: 'Programs are compared over years, and the budget goes where it avoids most',
    parts: [
      {
        heading: 'The seedbank from year to year',
        paragraphs: [
          say(
            'Each spring part of the bank comes up, most of the rest survives or dies, and seed that lands in fall joins it. The bank here is the live seed in the top 5 cm (2 in). {waterhemp.seedbank.emergenceFraction|%} of waterhemp’s comes up in a year.',
            'davis2004',
            'buhler2001',
            'jha2014',
          ),
          say(
            'Crowded plants set less seed each, so seed per area levels off; plants that come up late set far less. Control of each cohort is the rating that you give it from your state’s guide.',
            'wiles2004',
            'nordby2004',
          ),
          say(
            'The band around each line runs from mild to harsh biology. Control that looks the same on paper can end far apart, because a few plants per field decide it.',
            'assumed',
          ),
        ],
      },
      {
        heading: 'The budget',
        paragraphs: [
          say(
            'For each sum of money the best set of programs is searched, one a field, and how far it may be from the best possible is told. As money grows the set can change altogether: a field may drop out when money for a better one is there.',
            'sinha1979',
          ),
        ],
      },
      {
        heading: 'Zones',
        paragraphs: [
          say(
            'A zone follows the ground where the chance of being above the threshold is high. It is made wide enough for the boom, and buffered for the position’s error and for the way that the combine threw seed. You draw, cut and join them as you see fit; area, seed and money follow.',
            'assumed',
          ),
          say(
            'Areas are those of the ellipsoid of the earth, as a surveyor’s would be, not of a flat map.',
            'karney2013',
          ),
        ],
      },
    ],
    cautions: ['product', 'rate', 'destroying crop', 'estimates'],
    words: ['program', 'cohort', 'zone', 'buffer', 'seedbank', 'gain', 'control rating'],
  },
  'hand-off': {
    title: 'Rates come from the label, by your hand; the rest is arithmetic and a trial run',
    parts: [
      {
        heading: 'Rates, totals, loads',
        paragraphs: [
          say(
            'You type each rate from the label; it is held inside the label’s limits, and none is ever proposed. Product is area times rate; loads are spray volume over tank, the last one the rest.',
            'fifra12',
            'ifas2017',
          ),
          say(
            'An order is refused where a crop’s tolerance of an ingredient is not stated, or where the season’s limit would be passed.',
            'wac-label',
          ),
        ],
      },
      {
        heading: 'The trial run',
        paragraphs: [
          say(
            'The pass is driven once in the computer: sections of the boom, the delay of the valves, the error of the position. It says how much of the zones would be missed and how much outside would be sprayed. A base station’s correction errs by {application.positionSdM.rtk} m, a phone by {application.positionSdM.phone} m.',
            'gnss-rtk',
            'common-practice',
          ),
          say(
            'Outside the zones, and when the position is lost, the machine applies nothing unless the order says otherwise.',
            'assumed',
          ),
        ],
      },
      {
        heading: 'Files',
        paragraphs: [
          say(
            'Files are read back after they are written, and what was lost on the way (a name cut short, a number rounded) is told. Check one on the machine’s screen before you drive.',
            'assumed',
          ),
        ],
      },
    ],
    cautions: ['product', 'rate', 'machine', 're-entry', 'cab'],
    words: ['prescription', 'work order', 'hand-off', 'tank load', 'section control', 'site of action group'],
  },
};
