/**
 * Sources of the methods (maps, harvest logs, money) that no parameter rests on; those of the biology stand in
 * shared/agronomy/sources.ts. How far each was verified is said as there.
 */
import { citationOf, hasSource, type Source, source } from '../../../shared/agronomy/sources.ts';

const METHOD_SOURCES: Readonly<Record<string, Source>> = {
  anselin1995: {
    authors: 'Anselin',
    year: 1995,
    title: 'Local indicators of spatial association',
    where: 'Geographical Analysis 27:93-115',
    verified: 'memory',
  },
  arslan2008: {
    authors: 'Arslan',
    year: 2008,
    title: 'A grain flow model to simulate grain yield sensor response',
    where: 'Sensors 8:952-962',
    doi: '10.3390/s8020952',
    verified: 'abstract',
  },
  baskerville1969: {
    authors: 'Baskerville, Emin',
    year: 1969,
    title: 'Rapid estimation of heat accumulation from maximum and minimum temperatures',
    where: 'Ecology 50:514-517',
    verified: 'memory',
  },
  beal2001: {
    authors: 'Beal, Tian',
    year: 2001,
    title: 'Time shift evaluation to improve yield map quality',
    where: 'Applied Engineering in Agriculture 17:385-390',
    verified: 'abstract',
  },
  blancomoreno2004: {
    authors: 'Blanco-Moreno, Chamorro, Masalles, Recasens, Sans',
    year: 2004,
    title: 'Spatial distribution of Lolium rigidum seedlings following seed dispersal by combine harvesters',
    where: 'Weed Research 44:375-387',
    doi: '10.1111/j.1365-3180.2004.00412.x',
    verified: 'abstract',
  },
  cressie1980: {
    authors: 'Cressie N., Hawkins D.M.',
    year: 1980,
    title: 'Robust estimation of the variogram',
    where: 'Mathematical Geology 12:115-125',
    verified: 'memory',
  },
  diggle1998: {
    authors: 'Diggle P.J., Tawn J.A., Moyeed R.A.',
    year: 1998,
    title: 'Model-based geostatistics',
    where: 'Applied Statistics 47:299-350',
    verified: 'memory',
  },
  drummond1999: {
    authors: 'Drummond, Fraisse, Sudduth',
    year: 1999,
    title: 'Vector method for determining harvest area using combine position data',
    where: 'Transactions of the ASAE 42:1221-1227',
    verified: 'abstract',
  },
  gold1996: {
    authors: 'Gold H.J., Bay J., Wilkerson G.G.',
    year: 1996,
    title: 'Scouting for weeds, based on the negative binomial distribution',
    where: 'Weed Science 44',
    verified: 'abstract',
  },
  hofer2010: {
    authors: 'Hofer C., Papritz A.',
    year: 2010,
    title: 'Predicting threshold exceedance by local block means in soil pollution surveys',
    where: 'Mathematical Geosciences',
    doi: '10.1007/s11004-010-9287-4',
    verified: 'abstract',
  },
  karney2013: {
    authors: 'Karney C.F.F.',
    year: 2013,
    title: 'Algorithms for geodesics',
    where: 'Journal of Geodesy 87:43-55',
    doi: '10.1007/s00190-012-0578-z',
    verified: 'memory',
  },
  korres2018: {
    authors: 'Korres, Norsworthy, Young, et al.',
    year: 2018,
    title: 'Seedbank persistence of Palmer amaranth and waterhemp',
    where: 'Weed Science 66:446-456',
    doi: '10.1017/wsc.2018.27',
    verified: 'abstract',
  },
  mcmaster1997: {
    authors: 'McMaster, Wilhelm',
    year: 1997,
    title: 'Growing degree-days: one equation, two interpretations',
    where: 'Agricultural and Forest Meteorology 87:291-300',
    verified: 'abstract',
  },
  simbahan2004: {
    authors: 'Simbahan, Dobermann, Ping',
    year: 2004,
    title: 'Screening yield monitor data improves grain yield maps',
    where: 'Agronomy Journal 96:1091-1102',
    verified: 'abstract',
  },
  sinha1979: {
    authors: 'Sinha, Zoltners',
    year: 1979,
    title: 'The multiple-choice knapsack problem',
    where: 'Operations Research 27:503-515',
    verified: 'memory',
  },
  vega2019: {
    authors: 'Vega, Córdoba, Castro-Franco, Balzarini',
    year: 2019,
    title: 'Protocol for automating error removal from yield maps',
    where: 'Precision Agriculture 20:1030-1044',
    verified: 'abstract',
  },
  winans2023: {
    authors: 'Winans, Massey, Schreier, Bish, Bradley',
    year: 2023,
    title: 'Harvest weed seed control in soybean with an impact mill',
    where: 'Weed Technology 37:113-122',
    verified: 'abstract',
  },
};

export function isCited(key: string): boolean {
  return hasSource(key) || Object.hasOwn(METHOD_SOURCES, key);
}

/** @throws on an unknown key */
export function helpSource(key: string): Source {
  return METHOD_SOURCES[key] ?? source(key);
}

/** "Beal and Tian 2001": the authors' family names as a reader looks them up. */
export function shortCitation(key: string): string {
  const { authors, year, title } = helpSource(key);
  if (authors === '') return title;
  const named = authors.split(', ').map((one) => one.replace(/ (?:[A-Z]\.?-?){1,4}$/, ''));
  const who = named.length > 2 || authors.includes('et al.') ? `${named[0]} and others` : named.join(' and ');
  return year === null ? who : `${who} ${year}`;
}

export function fullCitation(key: string): string {
  return citationOf(helpSource(key));
}
