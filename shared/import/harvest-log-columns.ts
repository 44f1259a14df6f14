/** The columns that a harvest log can hold, how they are called, and what their values say about units. */
import { findColumns } from './columns.ts';
import type { FoundColumns, UnitSystem, ValueSample, WantedColumn } from './columns.ts';
import type { Table } from './csv.ts';
import { numberOf } from './number-text.ts';
import type { UnitWord } from './unit-words.ts';

const words = (text: string) => text.split(' ');

type UnitGuess = { unit: UnitWord; because: string; sure: boolean };

export const LON: WantedColumn = {
  id: 'lon',
  title: 'longitude',
  names: words('lon longitude long lng gpslon gpslongitude londeg xlon xcoord pointx x'),
};
export const LAT: WantedColumn = {
  id: 'lat',
  title: 'latitude',
  names: words('lat latitude gpslat gpslatitude latdeg ylat ycoord pointy y'),
};
export const CROP: WantedColumn = {
  id: 'crop',
  title: 'the crop',
  names: words('crop cropname croptype product commodity grain croptypename'),
};

export const TIME_NAMES = words(
  'time timestamp datetime isotime gpstime gpstim timeutc utctime utc dateandtime datetimeutc ' +
    'gpsdatetime logtime recordtime unixtime epoch epochtime localtime timelocal times timesec ' +
    'elapsedtime elapsed timeofday clock',
);
export const DATE_NAMES = words(
  'date day logdate recorddate gpsdate localdate dateutc harvestdate obsdate scoutdate scoutingdate ' +
    'surveydate observed on',
);

const KM_PER_DEGREE = 111.195; // mean sphere; only to tell feet from metres

/** Metres between neighbouring positions for one unit of the distance column: tells its unit. Median over the first rows. */
function metresPerDistance(table: Table, found: FoundColumns, distance: number): number | null {
  const [lonAt, latAt, sectionAt] = [found.lon?.index, found.lat?.index, found.section?.index];
  if (lonAt === undefined || latAt === undefined) return null;
  const read = (row: readonly string[], at: number) => numberOf(row[at] ?? '', table.decimal);
  const section = sectionAt === undefined ? null : table.sample[0]?.[sectionAt];
  const ratios: number[] = [];
  let last: readonly [number, number] | null = null;
  for (const row of table.sample) {
    if (sectionAt !== undefined && row[sectionAt] !== section) continue;
    const here = [read(row, lonAt), read(row, latAt)] as const;
    const logged = read(row, distance);
    if (last && logged > 0) {
      const east = (here[0] - last[0]) * KM_PER_DEGREE * 1000 * Math.cos((here[1] * Math.PI) / 180);
      const north = (here[1] - last[1]) * KM_PER_DEGREE * 1000;
      const metres = Math.hypot(east, north);
      if (metres > 0.05 && metres < 50) ratios.push(metres / logged);
    }
    last = here;
  }
  if (ratios.length < 10) return null;
  ratios.sort((a, b) => a - b);
  return ratios[ratios.length >> 1]!;
}

const LENGTHS: readonly (readonly [UnitWord, number])[] = [
  ['m', 1],
  ['ft', 0.3048],
  ['in', 0.0254],
  ['cm', 0.01],
];

function distanceUnit(table: Table, found: FoundColumns, system: UnitSystem): UnitGuess {
  const ratio = found.distance ? metresPerDistance(table, found, found.distance.index) : null;
  if (ratio !== null) {
    for (const [unit, metres] of LENGTHS) {
      if (Math.abs(ratio / metres - 1) < 0.15) {
        return {
          unit,
          because: `neighboring positions lie ${ratio.toPrecision(3)} m apart for each 1 logged`,
          sure: true,
        };
      }
    }
  }
  return { unit: system === 'us' ? 'ft' : 'm', because: 'the usual unit', sure: false };
}

function swathUnit(sample: ValueSample, system: UnitSystem): UnitGuess {
  const wide = sample.max;
  if (wide > 120)
    return {
      unit: wide > 1000 && system !== 'us' ? 'cm' : 'in',
      because: `values up to ${wide} are no feet`,
      sure: true,
    };
  if (wide > 20) return { unit: 'ft', because: `values up to ${wide} are no meters`, sure: true };
  if (system === 'us') return { unit: 'ft', because: 'other columns are in US units', sure: true };
  return { unit: 'm', because: `values up to ${wide}`, sure: system === 'metric' };
}

function moistureUnit(sample: ValueSample): UnitGuess {
  if (sample.median > 60)
    return { unit: '0.1 %', because: `values like ${sample.median} are tenths of a percent`, sure: true };
  if (sample.median > 1) return { unit: '%', because: `values like ${sample.median} are percent`, sure: true };
  return { unit: 'fraction', because: `values like ${sample.median} are shares`, sure: true };
}

function speedUnit(sample: ValueSample, system: UnitSystem): UnitGuess {
  if (system === 'us') return { unit: 'mph', because: 'other columns are in US units', sure: true };
  if (sample.median <= 3) return { unit: 'm/s', because: `values like ${sample.median}`, sure: false };
  return { unit: 'km/h', because: `values like ${sample.median} are too fast for m/s`, sure: system === 'metric' };
}

export function flowUnit(sample: ValueSample, system: UnitSystem): UnitGuess {
  if (system === 'us') return { unit: 'lb/s', because: 'other columns are in US units', sure: true };
  return { unit: sample.median > 60 ? 't/h' : 'kg/s', because: `values like ${sample.median}`, sure: false };
}

/** Mass over volume tells both units: 60 lb (or 56 lb) a bushel. */
function massPerBushel(table: Table, found: FoundColumns): number | null {
  if (!found.yield || !found.yieldVolume) return null;
  const ratios: number[] = [];
  for (const row of table.sample) {
    const read = (at: number) => numberOf(row[at] ?? '', table.decimal);
    const ratio = read(found.yield.index) / read(found.yieldVolume.index);
    if (ratio > 0 && Number.isFinite(ratio)) ratios.push(ratio);
  }
  ratios.sort((a, b) => a - b);
  return ratios.length < 10 ? null : ratios[ratios.length >> 1]!;
}

function yieldUnit(sample: ValueSample, system: UnitSystem, ratio: number | null): UnitGuess {
  if (ratio !== null && (Math.abs(ratio - 60) < 0.5 || Math.abs(ratio - 56) < 0.5)) {
    return { unit: 'lb/ac', because: `it is ${ratio.toFixed(1)} times the volume, pounds a bushel`, sure: true };
  }
  if (system !== 'us' && sample.median < 20)
    return { unit: 't/ha', because: `values like ${sample.median}`, sure: system === 'metric' };
  if (sample.median < 400) return { unit: 'bu/ac', because: `values like ${sample.median}`, sure: system === 'us' };
  return { unit: system === 'us' ? 'lb/ac' : 'kg/ha', because: `values like ${sample.median}`, sure: system !== null };
}

function volumeUnit(sample: ValueSample, ratio: number | null): UnitGuess {
  for (const pounds of [60, 56] as const) {
    if (ratio !== null && Math.abs(ratio - pounds) < 0.5)
      return { unit: `bu/ac ${pounds} lb`, because: `${pounds} lb a bushel by the mass beside it`, sure: true };
  }
  return { unit: 'bu/ac', because: `values like ${sample.median}`, sure: true };
}

/** The wanted columns; those whose unit can be seen from positions come first. */
export function harvestLogColumns(table: Table): WantedColumn[] {
  const section: WantedColumn = {
    id: 'section',
    title: 'the header section',
    names: words('section sectionid headersection sectionnumber sectionno sectionnr rowunit'),
  };
  const plain: WantedColumn[] = [
    LON,
    LAT,
    section,
    {
      id: 'distance',
      title: 'distance traveled',
      names: words('distance dist dstnc distanc distancetraveled distancetravelled traveldistance dstnce distdriven'),
      quantity: 'length',
    },
    {
      id: 'yield',
      title: 'yield by mass',
      names: words(
        'wetmass yldmssw yldmassw yldmasswe yieldmasswet yldmasswet wetyield yieldwet yieldmass massyield ' +
          'yldmass yield yld grainyield cropyield vryieldmass vryieldmas drymass yldmssd yldmassd yldmassdr ' +
          'yieldmassdry dryyield yielddry',
      ),
      quantity: 'mass per area',
    },
    {
      id: 'yieldVolume',
      title: 'yield by volume',
      names: words(
        'yldvlw yldvolw yldvolwe yieldvolwet yldvolwet vryieldvol yieldvol yldvol yieldvolume volumeyield ' +
          'yldvld yldvold yldvoldr yieldvoldry yldvoldry bushels',
      ),
      quantity: 'mass per area',
    },
  ];
  const first = findColumns(plain, table, {}).found;
  const ratio = massPerBushel(table, first);
  const [lon, lat, sections, distance, mass, volume] = plain as [
    WantedColumn,
    WantedColumn,
    WantedColumn,
    WantedColumn,
    WantedColumn,
    WantedColumn,
  ];
  return [
    lon,
    lat,
    sections,
    { ...distance, unitFromValues: (_, system) => distanceUnit(table, first, system) },
    { ...mass, unitFromValues: (sample, system) => yieldUnit(sample, system, ratio) },
    { ...volume, unitFromValues: (sample) => volumeUnit(sample, ratio) },
    { id: 'time', title: 'time', names: TIME_NAMES },
    { id: 'date', title: 'the date', names: DATE_NAMES },
    {
      id: 'flow',
      title: 'mass flow',
      names: words(
        'flow massflow grainflow cropflow flowrate flw crpflw crpflwm cropflowm flowmass massflowrate ' +
          'grainmassflow wetmassflow yieldflow mflow flowrat',
      ),
      parts: ['massflow', 'grainflow'],
      quantity: 'mass flow',
      unitFromValues: flowUnit,
    },
    {
      id: 'mass',
      title: 'grain mass of the record',
      names: words('grainmass recordmass massperrecord grainweight recordweight wetgrainmass mass weight'),
      quantity: 'mass',
    },
    {
      id: 'moisture',
      title: 'moisture',
      names: words('moisture moist grainmoisture mostr moistr mstr watercontent moisturecontent grainmoist'),
      parts: ['moisture'],
      quantity: 'fraction',
      unitFromValues: moistureUnit,
    },
    {
      id: 'swath',
      title: 'cut width',
      names: words(
        'swath swathwidth swthw swthwd swthwdth swathw swathwi cutwidth cuttingwidth workingwidth workwidth ' +
          'headerwidth effectivewidth width crpwidth',
      ),
      parts: ['swath', 'swth'],
      quantity: 'length',
      unitFromValues: swathUnit,
    },
    {
      id: 'speed',
      title: 'speed',
      names: words('speed groundspeed gpsspeed vehiclespeed vehicspeed spd velocity travelspeed'),
      parts: ['speed'],
      quantity: 'speed',
      unitFromValues: speedUnit,
    },
    {
      id: 'heading',
      title: 'heading',
      names: words('heading track course bearing direction trck hdng azimuth cog courseoverground trackdeg'),
      quantity: 'angle',
      unitFromValues: () => ({ unit: 'deg', because: 'the usual unit', sure: true }),
    },
    {
      id: 'duration',
      title: 'seconds covered',
      names: words(
        'duration seconds durtn interval cycle cycletime loginterval logginginterval timeinterval dur secs ' + 'sec',
      ),
      quantity: 'time',
      unitFromValues: () => ({ unit: 's', because: 'the usual unit', sure: true }),
    },
    {
      id: 'headerState',
      title: 'header down or up',
      names: words(
        'headerstate headerstatus headerdown header headerposition headerupdown headerdownup hdrstate ' +
          'hdrstatus hdrdown hdr workstate workingstate wrkstt wrkstate workstatus working cutting harvesting ' +
          'inwork arecnt areacount areacounting',
      ),
    },
    {
      id: 'headerHeight',
      title: 'header height',
      names: words('headerheight hdrheight headerht cutheight cuttingheight hdrht headerhgt'),
    },
    {
      id: 'sequence',
      title: 'order of logging',
      names: words('objid recordid recordno recordnumber recno sequence seq record logid pointid'),
    },
    {
      id: 'recording',
      title: 'the recording or machine',
      names: words(
        'dataset recording recordingid logname filename logfile machineid machinename vehicleid vehiclename vehicle ' +
          'combineid combinename combine harvesterid harvester machineserial machine',
      ),
    },
    CROP,
  ];
}
