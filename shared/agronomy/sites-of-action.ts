/**
 * Sites of action by group number, with active ingredients that stand as examples. The group on the label rules; this table stands
 * in where nobody typed one.
 * @source hrac2020 (memory): numeric codes as of the 2020–21 revision; later additions are not in it. A test holds it against
 * management.json → residual.groups.
 */
import type { Farm } from '../model/farm.ts';

export interface SiteOfAction {
  readonly group: string;
  readonly name: string;
  readonly examples: readonly string[];
}

const site = (group: string, name: string, ...examples: string[]): SiteOfAction => ({ group, name, examples });

export const SITES_OF_ACTION: readonly SiteOfAction[] = [
  site('1', 'acetyl-CoA carboxylase (ACCase)', 'clethodim', 'sethoxydim', 'quizalofop', 'fluazifop', 'pinoxaden'),
  site(
    '2',
    'acetolactate synthase (ALS, AHAS)',
    'imazethapyr',
    'chlorimuron',
    'cloransulam',
    'thifensulfuron',
    'imazaquin',
    'flumetsulam',
  ),
  site('3', 'microtubule assembly (tubulin)', 'pendimethalin', 'trifluralin', 'ethalfluralin'),
  site('4', 'auxin mimics', '2,4-D', 'dicamba', 'fluroxypyr', 'clopyralid', 'quinclorac', 'florpyrauxifen'),
  site(
    '5',
    'photosystem II, D1 Ser264 binders',
    'atrazine',
    'metribuzin',
    'simazine',
    'prometryn',
    'linuron',
    'diuron',
    'amicarbazone',
  ),
  site('6', 'photosystem II, D1 His215 binders', 'bentazon', 'bromoxynil', 'pyridate'),
  site('9', 'EPSP synthase', 'glyphosate'),
  site('10', 'glutamine synthetase', 'glufosinate'),
  site('12', 'phytoene desaturase (PDS)', 'norflurazon', 'fluridone', 'diflufenican'),
  site('13', 'deoxy-D-xylulose phosphate synthase (DOXP)', 'clomazone', 'bixlozone'),
  site(
    '14',
    'protoporphyrinogen oxidase (PPO)',
    'fomesafen',
    'lactofen',
    'acifluorfen',
    'flumioxazin',
    'sulfentrazone',
    'saflufenacil',
    'carfentrazone',
    'trifludimoxazin',
    'tiafenacil',
  ),
  site(
    '15',
    'very-long-chain fatty acid synthesis (VLCFA)',
    'S-metolachlor',
    'acetochlor',
    'dimethenamid-P',
    'pyroxasulfone',
    'flufenacet',
    'triallate',
    'ethofumesate',
  ),
  site('18', 'dihydropteroate synthase', 'asulam'),
  site('19', 'auxin transport', 'diflufenzopyr', 'naptalam'),
  site('22', 'photosystem I electron diversion', 'paraquat', 'diquat'),
  site('23', 'microtubule organization', 'carbetamide', 'propham', 'chlorpropham'),
  site('24', 'uncouplers', 'dinoterb', 'DNOC'),
  site(
    '27',
    'hydroxyphenylpyruvate dioxygenase (HPPD)',
    'mesotrione',
    'tembotrione',
    'topramezone',
    'isoxaflutole',
    'bicyclopyrone',
    'tolpyralate',
  ),
  site('28', 'dihydroorotate dehydrogenase (DHODH)', 'tetflupyrolimet'),
  site('29', 'cellulose synthesis', 'isoxaben', 'indaziflam', 'dichlobenil', 'triaziflam'),
  site('30', 'fatty acid thioesterase', 'cinmethylin', 'methiozolin'),
  site('31', 'serine-threonine protein phosphatase', 'endothall'),
  site('32', 'solanesyl diphosphate synthase', 'aclonifen'),
  site('33', 'homogentisate solanesyltransferase', 'cyclopyrimorate'),
  site('34', 'lycopene cyclase', 'amitrole'),
];

const plain = (text: string): string => text.trim().toLowerCase();
const groupByIngredient = new Map(
  SITES_OF_ACTION.flatMap(({ group, examples }) => examples.map((one) => [plain(one), group] as const)),
);

export interface KnownGroup {
  readonly group: string;
  readonly from: 'a label' | 'a program' | 'the table';
}

/** Site-of-action group of an ingredient: as typed with a product, else with a pass, else by the table; null where none tells. */
export function groupOf(farm: Pick<Farm, 'products' | 'programs'>, ingredient: string): KnownGroup | null {
  const wanted = plain(ingredient);
  const isIt = (part: { readonly ingredient: string }) => plain(part.ingredient) === wanted;
  const onLabel = farm.products.flatMap((one) => one.parts).find(isIt)?.group;
  if (onLabel !== undefined && onLabel !== '') return { group: onLabel, from: 'a label' };
  const inPass = farm.programs
    .flatMap((one) => one.passes.flatMap((pass) => pass.parts))
    .find((part) => isIt(part) && part.group !== undefined)?.group;
  if (inPass !== undefined) return { group: inPass, from: 'a program' };
  const known = groupByIngredient.get(wanted);
  return known === undefined ? null : { group: known, from: 'the table' };
}

/** "15: very-long-chain fatty acid synthesis (VLCFA)", or the number alone where the table has none. */
export function siteOfActionName(group: string): string {
  const found = SITES_OF_ACTION.find((one) => one.group === group);
  return found ? `${group}: ${found.name}` : group;
}
