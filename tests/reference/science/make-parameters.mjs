/**
 * Makes shared/agronomy/parameters.json and sources.json from biology.json and management.json beside this file:
 * a flat list of only what the tool uses, each value with its range, unit, source, how far it was verified, and which
 * end of its range is harsh for the farm. No clock, no network, no chance: the same input gives the same bytes.
 * Run: node tests/reference/science/make-parameters.mjs
 */
import { readFileSync, writeFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';

const read = (name) => JSON.parse(readFileSync(new URL(name, import.meta.url), 'utf8'));
const CROPS = ['soybean', 'corn', 'wheat', 'cotton'];

/**
 * Which end is harsh for the farm: more yield lost or more seed in the soil. First pattern that matches rules;
 * a parameter that no pattern names stops the maker.
 */
const HARSH = [
  [/\.yieldLoss\.[a-z]+\.[IA]$/, 'high', 'each plant costs more yield'],
  [/\.yieldLoss\.[a-z]+\.C$/, 'low', 'late plants still cost yield'],
  [/\.seedProduction\.[a-z]+\.(perPlant|maxPerArea)$/, 'high', 'more seed is made'],
  [/\.seedProduction\.[a-z]+\.lateness$/, 'low', 'late plants still make seed'],
  [
    /\.seedRetention\.[a-z]+\.R0$/,
    'low',
    'seed that falls before harvest all reaches the soil; held seed can be caught or milled',
  ],
  [/\.seedRetention\.[a-z]+\.k$/, 'high', 'as for R0: more falls before the combine comes'],
  [/^seedRetention\.undatedFraction$/, 'low', 'as for R0'],
  [/\.seedbank\.survival\./, 'high', 'the bank lasts longer'],
  [
    /\.seedbank\.emergenceFraction$/,
    'high',
    'more seedlings to control (yearly survival already counts emergence as loss)',
  ],
  [/^seedbank\.enteringFraction$/, 'high', 'more of the landed seed lives into the bank'],
  [/^seedbank\.(fatalPerSeedling|topShareOfCore\.)/, 'none', 'zero, or how a soil core is read'],
  [/\.emergence\.remainingAfter\./, 'high', 'more emerges after the residual has gone'],
  [/\.emergence\.durationWeeks$/, 'high', 'a longer emergence outlives the residual'],
  [/emergence\./, 'none', 'early and late emergence each hurt in their own way: timing stays central'],
  [/\.survival\.[a-z]+\.T50$/, 'high', 'late seedlings live'],
  [/\.survival\.[a-z]+\.k$/, 'low', 'late seedlings live'],
  [/\.maxAdultDensityPerM2$/, 'high', 'more plants find room'],
  [/\.height\.mmPer/, 'high', 'the window for spraying small weeds is shorter'],
  [/\.height\./, 'none', 'a limit that the label sets'],
  [/^crop\./, 'none', 'a convention of trade or the crop, not the weed'],
  [/^machine\.headerLossFraction$/, 'high', 'nothing at harvest can catch seed that shatters at the header'],
  [/^machine\.grain\.share$/, 'low', 'less seed leaves the field with the grain'],
  [/^machine\.lodged\./, 'high', 'more seed rides far, and to the next field'],
  [/^machine\.chaffOfThrownFraction$/, 'low', 'less of the seed passes the mill or the chaff line'],
  [/^machine\.(chaff|straw)\.(delayS|timeConstantS)$/, 'high', 'seed lands farther from where it grew'],
  [/^machine\.mill\.killFraction$/, 'low', 'more seed lives through the mill'],
  [/^machine\.cleanOut\./, 'low', 'more seed stays aboard'],
  [/^machine\.arrival\./, 'high', 'the machine brings more seed to the farm'],
  [/^machine\./, 'none', 'size or timing of the machine: no end is worse as such'],
  [/^residual\.[^.]+\.coverDays$/, 'low', 'cover ends sooner'],
  [/^residual\.[^.]+\.activationRainMm$/, 'high', 'cover begins later'],
  [/^residual\.lossPerHalvingFraction$/, 'high', 'a lower rate costs more days'],
  [/^residual\.maxControlFraction$/, 'low', 'more escapes under full cover'],
  [/^residual\./, 'none', 'a shape or a definition'],
  [/^control\./, 'low', 'fewer plants are killed'],
  [/^(economics|application|scouting|yieldMonitor|cohort)\./, 'none', 'a choice or a measurement, not biology'],
];

const ALIAS = { common: 'common-practice' };
/** Numbers of ours and of the methods that stand in neither file. */
const ASSUMED = 'assumed';
const OWN_SOURCES = {
  assumed: {
    authors: '',
    year: null,
    title: 'Assumed in this tool, no source',
    where: 'a place to put a farm’s own number',
    verified: 'memory',
  },
  'pigweed-union': {
    authors: '',
    year: null,
    title: 'Union of the ranges of waterhemp and Palmer amaranth',
    where: 'made in this tool; the sources stand at the two species',
    verified: 'memory',
  },
};

/** Sources of the cautions and of the equations, which stand in code. */
const CAUTION_SOURCES =
  'fifra12 cfr171 cfr170-503 cfr170 mda-blt cfr156 norsworthy2012 wac-label cfr170-405 fire-unl isu-clean2016 osha1928 cfr156-208'.split(
    ' ',
  );

const round = (x) => Number(x.toPrecision(6));

export function build() {
  const biology = read('biology.json');
  const management = read('management.json');
  const table = new Map();

  function put(id, given, note) {
    if (table.has(id)) throw new Error(`twice: ${id}`);
    const rule = HARSH.find(([pattern]) => pattern.test(id));
    if (!rule) throw new Error(`no rule says which end is harsh: ${id}`);
    const { value, unit, source, verified } = given;
    // Where the source gives one number and no range, the range is that number: said in the note.
    const open = given.low === null || given.low === undefined || given.high === null || given.high === undefined;
    const low = given.low ?? value;
    const high = given.high ?? value;
    if (!(low <= value && value <= high)) throw new Error(`value outside its range: ${id}`);
    const notes = [given.note, note, open ? 'the source gives no full range' : undefined].filter(Boolean).join('; ');
    table.set(id, {
      id,
      value,
      low,
      high,
      unit,
      source: ALIAS[source] ?? source,
      verified,
      ...(notes ? { note: notes } : {}),
      ...(given.borrowed ? { borrowed: given.borrowed } : {}),
      harsh: rule[1],
    });
  }

  /** The same number under another id, with where it came from and why. */
  function borrow(id, from, because) {
    const { value, low, high, unit, source, note } = table.get(from);
    put(id, { value, low, high, unit, source, verified: 'memory', borrowed: { from, because } }, note);
  }

  function assume(id, value, low, high, unit, note, source = ASSUMED) {
    put(id, { value, low, high, unit, source, verified: 'memory', note });
  }

  // ---- what the files give, species by species
  for (const one of biology.species) {
    const s = one.id;
    for (const [crop, loss] of Object.entries(one.yieldLoss))
      for (const symbol of ['I', 'A', 'C']) if (loss[symbol]) put(`${s}.yieldLoss.${crop}.${symbol}`, loss[symbol]);

    const made = one.seedProduction;
    for (const [crop, given] of Object.entries(made.perPlantLowDensity_s ?? {}))
      put(`${s}.seedProduction.${crop}.perPlant`, given);
    if (s === 'giant-ragweed') {
      // perPlant is "with maize (per m2 and unit density)": the slope at farm density. Its soybean figure is perPlantInSoybean.
      put(`${s}.seedProduction.corn.perPlant`, made.perPlant);
      put(`${s}.seedProduction.soybean.perPlant`, made.perPlantInSoybean);
    } else if (made.perPlant) put(`${s}.seedProduction.any.perPlant`, made.perPlant);
    const smax = made.maxPerArea_Smax;
    if (smax?.value !== undefined) put(`${s}.seedProduction.any.maxPerArea`, smax);
    else for (const [crop, given] of Object.entries(smax ?? {})) put(`${s}.seedProduction.${crop}.maxPerArea`, given);
    const late = made.lateness_Cs;
    if (late?.value !== undefined) put(`${s}.seedProduction.any.lateness`, late);
    else for (const [crop, given] of Object.entries(late ?? {})) put(`${s}.seedProduction.${crop}.lateness`, given);

    const kept = one.seedRetention;
    const keptIn = /wheat/.test(kept.atMaturityFraction.unit)
      ? 'wheat'
      : /soybean/.test(kept.atMaturityFraction.unit)
        ? 'soybean'
        : 'any';
    put(`${s}.seedRetention.${keptIn}.R0`, kept.atMaturityFraction);
    if (kept.declinePerDay_k) put(`${s}.seedRetention.${keptIn}.k`, kept.declinePerDay_k);

    put(`${s}.seedbank.survival.tilled`, one.seedbank.annualSurvivalTilled);
    put(`${s}.seedbank.survival.no-till`, one.seedbank.annualSurvivalNoTill);
    put(`${s}.seedbank.emergenceFraction`, one.seedbank.emergenceFractionPerYear);

    const out = one.emergence;
    put(`${s}.emergence.baseC`, out.base);
    for (const name of ['firstEmergenceGDD', 'airDegreeDaysTo10Percent', 'soilDegreeDaysTo10Percent', 'durationWeeks'])
      if (out[name]) put(`${s}.emergence.${name}`, out[name]);
    if (out.degreeDaysFirst) put(`${s}.emergence.airDegreeDaysToFirst`, out.degreeDaysFirst);
    if (out.degreeDaysTo10Percent) put(`${s}.emergence.airDegreeDaysTo10Percent`, out.degreeDaysTo10Percent);
    if (out.model) {
      const { k, t50, base, source, verified, note } = out.model;
      const exact = (value, unit) => ({ value, low: value, high: value, unit, source, verified, note });
      put(`${s}.emergence.logisticK`, exact(k, 'per C d, soil 1 cm, base 10 C'));
      put(`${s}.emergence.logisticT50`, exact(t50, 'C d after first emergence, soil 1 cm, base 10 C'));
      put(`${s}.emergence.modelBaseC`, exact(base, 'C, soil 1 cm'));
    }
    for (const after of out.extendedFractionAfter ?? []) {
      const day = { '15 June': '06-15', '1 July': '07-01', '1 August': '08-01' }[after.date];
      put(`${s}.emergence.remainingAfter.${day}`, after.fraction);
    }

    if (one.growth.heightMmPerGDD) put(`${s}.height.mmPerGDD`, one.growth.heightMmPerGDD);
    put(`${s}.height.mmPerDayPeak`, one.growth.heightMmPerDayPeak);
    if (one.growth.labelHeightLimitMm) put(`${s}.height.usualLabelLimitMm`, one.growth.labelHeightLimitMm);
    if (one.demography?.maxAdultDensity) put(`${s}.maxAdultDensityPerM2`, one.demography.maxAdultDensity);
    for (const curve of one.demography?.survivalCurve ?? []) {
      put(`${s}.survival.${curve.crop}.k`, curve.k);
      put(`${s}.survival.${curve.crop}.T50`, curve.T50);
    }
  }

  // ---- what is missing, taken over and told (biology.json's own hints where it has them)
  const species = biology.species.map((one) => one.id);
  const sister = { waterhemp: 'palmer-amaranth', 'palmer-amaranth': 'waterhemp' };
  const plain = (id) => table.has(id) && !table.get(id).borrowed;
  const elsewhere = (s, crop, path) =>
    ['soybean', 'corn', 'wheat', 'cotton']
      .filter((c) => c !== crop)
      .map((c) => path(s, c))
      .find(plain);
  /** A rule may look only at values of the files, never at values that were themselves taken over. */
  function fill(path, ...rules) {
    for (const s of species)
      for (const crop of CROPS) {
        const id = path(s, crop);
        if (table.has(id)) continue;
        for (const rule of rules) if (rule(s, crop, id)) break;
      }
    for (const s of species) {
      const any = path(s, 'any');
      if (table.has(any)) table.delete(any);
    }
  }
  const fromAny = (path) => (s, crop, id) => {
    const from = path(s, 'any');
    if (!table.has(from)) return false;
    // The crop-free value is the value: it is stated for any crop, nothing is taken over.
    const { value, low, high, unit, source, verified, note } = table.get(from);
    put(id, { value, low, high, unit, source, verified, note }, 'given for the species, not for a crop');
    return true;
  };
  const fromSister = (path) => (s, crop, id) => {
    const from = sister[s] && path(sister[s], crop);
    if (!from || !plain(from)) return false;
    borrow(id, from, 'no value for this species in this crop: the other pigweed in the same crop');
    return true;
  };
  const fromOtherCrop = (path) => (s, crop, id) => {
    const from = elsewhere(s, crop, path);
    if (!from) return false;
    borrow(id, from, 'no value in this crop: the same species in another crop');
    return true;
  };

  for (const symbol of ['I', 'A', 'C']) {
    const path = (s, c) => `${s}.yieldLoss.${c}.${symbol}`;
    fill(path, (s, crop, id) => {
      const from = elsewhere(s, crop, path);
      const { value, low, high, unit, source, note } = table.get(from);
      const because =
        symbol === 'I'
          ? 'no value in this crop: the same species in another crop, the low end set to 0'
          : 'no value in this crop: the same species in another crop';
      put(
        id,
        { value, low: symbol === 'I' ? 0 : low, high, unit, source, verified: 'memory', borrowed: { from, because } },
        note,
      );
      return true;
    });
  }

  const perPlant = (s, c) => `${s}.seedProduction.${c}.perPlant`;
  fill(perPlant, fromAny(perPlant), fromSister(perPlant), fromOtherCrop(perPlant));

  const maxPerArea = (s, c) => `${s}.seedProduction.${c}.maxPerArea`;
  fill(maxPerArea, fromAny(maxPerArea), (s, crop, id) => {
    // biology.json, equation seedPerArea: "the density of half effect may be borrowed from the yield-loss curve (A/I)".
    const seed = table.get(perPlant(s, crop));
    const [I, A] = [table.get(`${s}.yieldLoss.${crop}.I`), table.get(`${s}.yieldLoss.${crop}.A`)];
    if (!seed || !I || !A) return false;
    const half = A.value / I.value;
    put(id, {
      value: round(seed.value * half),
      low: round(seed.low * half),
      high: round(seed.high * half),
      unit: 'seeds m-2',
      source: 'wiles2004',
      verified: 'memory',
      borrowed: {
        from: `${s}.yieldLoss.${crop}.I`,
        because:
          'no value here: seeds per plant × the density of half effect A/I of the yield-loss curve; its range is that of seeds per plant',
      },
    });
    return true;
  });

  const lateness = (s, c) => `${s}.seedProduction.${c}.lateness`;
  fill(lateness, fromAny(lateness), fromOtherCrop(lateness), (s, crop, id) => {
    const from = `${s}.yieldLoss.${crop}.C`;
    if (!table.has(from)) return false;
    borrow(
      id,
      from,
      'no value for this species: late plants lose seed at the rate at which they lose competitiveness (so in waterhemp 0.12 and 0.11, Palmer amaranth 0.11 and 0.09, giant ragweed 0.09 and 0.093)',
    );
    return true;
  });

  const r0 = (s, c) => `${s}.seedRetention.${c}.R0`;
  fill(r0, fromAny(r0), fromOtherCrop(r0));
  const rk = (s, c) => `${s}.seedRetention.${c}.k`;
  const knownRates = species.flatMap((s) =>
    ['soybean', 'wheat', 'any'].map((c) => table.get(rk(s, c))).filter(Boolean),
  );
  const rates = knownRates.map((one) => one.value).sort((a, b) => a - b);
  const middle = rates[rates.length >> 1];
  fill(rk, fromAny(rk), fromOtherCrop(rk), (s, crop, id) => {
    if (s === 'horseweed') {
      assume(id, 0, 0, 0, 'per day', 'its share on the plant is already that at harvest: nothing more is taken off');
      return true;
    }
    put(id, {
      value: middle,
      low: Math.min(...knownRates.map((one) => one.low)),
      high: Math.max(...knownRates.map((one) => one.high)),
      unit: 'per day after crop maturity',
      source: ASSUMED,
      verified: 'memory',
      borrowed: {
        from: 'the other species',
        because: 'no value for this species: the middle one of all that have one, and their whole range',
      },
    });
    return true;
  });

  for (const symbol of ['k', 'T50']) {
    const path = (s, c) => `${s}.survival.${c}.${symbol}`;
    fill(path, fromOtherCrop(path), (s, crop, id) => {
      const same = plain(path('waterhemp', crop)) ? crop : 'soybean';
      borrow(
        id,
        path('waterhemp', same),
        'no value for this species: that of waterhemp (as biology.json does for Palmer amaranth)',
      );
      return true;
    });
  }
  for (const s of species) {
    const id = `${s}.maxAdultDensityPerM2`;
    if (!table.has(id)) borrow(id, 'waterhemp.maxAdultDensityPerM2', 'no value for this species: that of waterhemp');
  }

  // ---- pigweed, not told apart: a species of its own, the union of both ranges
  for (const id of [...table.keys()].filter((one) => one.startsWith('waterhemp.'))) {
    const other = table.get(id.replace('waterhemp.', 'palmer-amaranth.'));
    const mine = table.get(id);
    if (!other) continue;
    const geometric = mine.value > 0 && other.value > 0;
    put(id.replace('waterhemp.', 'pigweed.'), {
      value: round(geometric ? Math.sqrt(mine.value * other.value) : (mine.value + other.value) / 2),
      low: Math.min(mine.low, other.low),
      high: Math.max(mine.high, other.high),
      unit: mine.unit,
      source: 'pigweed-union',
      verified: 'memory',
      note: `not told apart: union of both ranges, value the ${geometric ? 'geometric mean' : 'midpoint'} of waterhemp’s ${mine.value} and Palmer amaranth’s ${other.value}`,
    });
  }

  // ---- crops (bushels and acres are exact and stand in units/units.ts)
  for (const crop of biology.crops) {
    put(`crop.${crop.id}.marketMoisture`, crop.marketMoisture);
    put(`crop.${crop.id}.weedFreeYieldKgHa`, crop.weedFreeYieldKgHa);
  }

  // ---- machine: values of management.json where it has them, else methods §4.5
  const find = (list, what) => {
    const hits = list.filter((one) => one.what.startsWith(what));
    if (hits.length !== 1) throw new Error(`expected one row "${what}", got ${hits.length}`);
    return hits[0];
  };
  const { partition, timing, spread, harvestWeedSeedControl, cleanOut } = management.combine;
  put('machine.headerLossFraction', find(partition, 'header shatter, pigweeds: default'));
  put('machine.grain.share', find(partition, 'share going to the grain tank'));
  put('machine.lodged.share', find(partition, 'share kept in the machine'));
  assume(
    'machine.chaffOfThrownFraction',
    0.83,
    0.74,
    0.98,
    'share of the seed thrown out that leaves with the chaff',
    'wild oat: over 74 % of ejected seed in the chaff (shirtliffe2005, abstract) is the low end; the rest is ours',
  );
  put('machine.chaff.delayS', find(timing, 'transport delay header to spreader'));
  assume('machine.straw.delayS', 4, 2, 8, 's', 'set so that most seed falls within 10 m at 1.5 m/s');
  assume('machine.grain.delayS', 10, 5, 15, 's', '8–14 s to the sensor are published');
  put('machine.chaff.timeConstantS', find(timing, 'mixing time constant'));
  assume('machine.straw.timeConstantS', 3, 1, 10, 's');
  assume('machine.grain.timeConstantS', 4, 1, 10, 's');
  put('machine.lodged.timeConstantS', find(timing, 'release time constant of the lodged stream'));
  assume('machine.cutterBarToExitM', 8, 6, 10, 'm', 'length of the machine');
  put('machine.headerWidthM', find(spread, 'header width'));
  put('machine.straw.widthFraction', find(spread, 'residue spread width as a share of header width, straw'));
  put('machine.chaff.widthFraction', find(spread, 'chaff spread width as a share of header width'));
  put('machine.chaffLine.widthM', find(spread, 'chaff line width'));
  put('machine.mill.killFraction', find(harvestWeedSeedControl, 'impact mill: default kill'));
  put('machine.cleanOut.limited', find(cleanOut.rows, 'share of residual removed by a limited clean'));
  put('machine.cleanOut.thorough', find(cleanOut.rows, 'share of residual removed by a thorough clean'));
  put('machine.cleanOut.limitedMinutes', find(cleanOut.rows, 'limited clean between fields'));
  put('machine.cleanOut.thoroughHours', find(cleanOut.rows, 'true, thorough clean-out'));
  put('machine.speedMS', find(timing, 'harvest ground speed'));
  assume(
    'machine.arrival.standingPerM2',
    1000,
    100,
    10000,
    'seeds per m² on the plants where the machine came from',
    'of an infested field: a tenth of a plant to a few plants on a square meter',
  );
  put('yieldMonitor.delayS', find(timing, 'grain flow delay header to mass-flow sensor'));

  // ---- residuals, by active ingredient
  for (const one of management.residual.ingredients) {
    const id = one.ai.replace(/\s*\(.*\)$/, '');
    const note = one.ai === id ? undefined : one.ai.slice(id.length).trim();
    put(`residual.${id}.coverDays`, one.residualDays, note);
    put(`residual.${id}.activationRainMm`, one.activationRainMm, note);
    // Soil half-life: for comparison and plant-back only, never the half-life of control.
    put(`residual.${id}.soilHalfLifeDays`, one.dt50Days, note);
  }
  assume(
    'residual.activationRainMm',
    12,
    6,
    25,
    'mm within 14 days',
    'for an ingredient without a value of its own',
    'common-practice',
  );
  assume('residual.activationWithinDays', 14, 7, 14, 'days', undefined, 'common-practice');
  assume(
    'residual.lossPerHalvingFraction',
    0.5,
    0.33,
    1,
    'share of the days of cover lost per halving of the rate',
    'no field study of full against reduced rate was found',
  );
  assume('residual.controlThresholdFraction', 0.8, 0.7, 0.9, 'control below which a day counts as a gap');
  assume('residual.maxControlFraction', 0.98, 0.92, 1, 'control of a fresh, activated full rate');
  assume('residual.slope', 3, 2, 4, 'slope of control over log dose', 'days of cover do not depend on it');

  // ---- general
  assume(
    'seedRetention.undatedFraction',
    0.75,
    0.5,
    1,
    'share still on the plant where no harvest date is known',
    'studies disagree: 95–100 %, 51–70 % (schwartz2016, meadows2024; abstracts)',
  );
  assume(
    'seedbank.enteringFraction',
    0.5,
    0.1,
    0.9,
    'share of landed seed alive in the bank next spring',
    'viable × escapes predators × gets into the soil, first winter included; shattered seed is 84–94 % viable (meadows2024, abstract)',
  );
  assume(
    'seedbank.fatalPerSeedling',
    0,
    0,
    0,
    'seeds lost per seedling beyond itself',
    'its loss stands in the yearly survival',
  );
  assume('seedbank.topShareOfCore.tilled', 0.375, 0.25, 0.5, 'share of a 20 cm core in the top 5 cm');
  assume('seedbank.topShareOfCore.no-till', 0.8, 0.8, 0.8, 'share of a 20 cm core in the top 5 cm');
  put('emergence.soilAboveAirC', biology.species.find((one) => one.id === 'waterhemp').emergence.airTemperatureRule);
  assume('emergence.airBaseC', 8.9, 8.9, 8.9, 'C, base of the air degree-day rules (48 F)', undefined, 'illinois2001');
  assume('cohort.cropEmergesAfterDays', 8, 5, 14, 'days from planting to crop emergence', 'where nobody wrote it down');
  assume('emergence.durationWeeks', 8, 4, 14, 'weeks', 'for a species without a length of its own');
  assume('cohort.lateAfterDays', 14, 10, 21, 'days after crop emergence from which a weed counts as late');
  for (const [rating, low, high] of [
    ['excellent', 0.9, 0.99],
    ['good', 0.8, 0.9],
    ['fair', 0.65, 0.8],
    ['poor', 0, 0.65],
  ])
    assume(
      `control.${rating}`,
      round((low + high) / 2),
      low,
      high,
      'share killed',
      'the guide’s own limits replace them; value is the midpoint',
      'common-practice',
    );
  put('economics.discountFraction', find(management.economics.numbers, 'real discount rate'));
  put('economics.horizonYears', find(management.economics.numbers, 'planning horizon'));
  put('scouting.clumpingK', find(management.scouting.numbers, 'negative binomial k for pigweed seedling counts'));
  put('application.positionSdM.rtk', find(management.sprayer.machine, 'GNSS, RTK (fixed)'));
  put('application.positionSdM.phone', find(management.sprayer.machine, 'GNSS, phone or hand-held'));
  put('application.boomWidthM', find(management.sprayer.machine, 'boom width'));
  put('application.sectionWidthM', find(management.sprayer.machine, 'section width, classic'));
  put('application.valveDelayS', find(management.sprayer.machine, 'section on/off latency'));
  put('application.speedMS', find(management.sprayer.machine, 'spraying speed'));
  assume(
    'application.fieldEfficiencyFraction',
    0.68,
    0.6,
    0.75,
    'share of the time spent spraying',
    undefined,
    'common-practice',
  );

  // ---- only the sources that are used
  const parameters = [...table.values()];
  const given = { ...management.sources, ...biology.sources, ...OWN_SOURCES };
  const used = [
    ...new Set([
      ...parameters.map((one) => one.source),
      'shirtliffe2005',
      'schwartz2016',
      'meadows2024',
      'cousens1985',
      'cousens1987',
      'hartzler2004',
      'schwartzlazaro2017',
      'wiles2004',
      'schutte2014',
      'colby1967',
      'ifas2017',
      ...CAUTION_SOURCES,
      'identity',
    ]),
  ].sort();
  const sources = {};
  for (const key of used) {
    const one = given[key];
    if (!one) throw new Error(`unknown source ${key}`);
    const url = one.url?.replace(/\s*\(.*\)$/, '');
    sources[key] = {
      authors: one.authors === '—' ? '' : (one.authors ?? ''),
      year: one.year ?? null,
      title: one.title,
      where: one.where ?? '',
      ...(one.doi ? { doi: one.doi } : {}),
      ...(url ? { url } : {}),
      verified: one.verified,
    };
  }
  const lines = (entries, open, close) => `${open}\n${entries.join(',\n')}\n${close}\n`;
  return {
    'parameters.json': lines(
      parameters.map((one) => JSON.stringify(one)),
      '[',
      ']',
    ),
    'sources.json': lines(
      Object.entries(sources).map(([key, one]) => `${JSON.stringify(key)}: ${JSON.stringify(one)}`),
      '{',
      '}',
    ),
  };
}

if (process.argv[1] === fileURLToPath(import.meta.url)) {
  for (const [name, text] of Object.entries(build())) {
    writeFileSync(new URL(`../../../shared/agronomy/${name}`, import.meta.url), text);
    console.log(name, Buffer.byteLength(text));
  }
}
