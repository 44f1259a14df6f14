/** The science on one page: every step, in the order in which they build on each other. */
import type { Step, StepId } from './step.ts';
import { bankStartStep } from './steps/bank-start.ts';
import { carriedStep } from './steps/carried.ts';
import { evidenceStep } from './steps/evidence.ts';
import { fieldStep } from './steps/field.ts';
import { harvestFactsStep } from './steps/harvest-facts.ts';
import { harvestPathStep } from './steps/harvest-path.ts';
import { infestationFactsStep } from './steps/infestation-facts.ts';
import { infestationStep } from './steps/infestation.ts';
import { latentChainStep } from './steps/latent-chain.ts';
import { landedStep } from './steps/landed.ts';
import { machineLoadStep } from './steps/machine-load.ts';
import { movementChainStep } from './steps/movement-chain.ts';
import { movementEvenStep } from './steps/movement-even.ts';
import { movementOwnStep } from './steps/movement-own.ts';
import { nextStopsStep } from './steps/next-stops.ts';
import { ownLossStep } from './steps/own-loss.ts';
import { priorityStep } from './steps/priority.ts';
import { programEffectStep } from './steps/program-effect.ts';
import { recordsStep } from './steps/records.ts';
import { roundInfestationStep } from './steps/round-infestation.ts';
import { scoutingStep } from './steps/scouting.ts';
import { seasonStep } from './steps/season.ts';
import { seedbankStep } from './steps/seedbank.ts';
import { seedWorthStep } from './steps/seed-worth.ts';
import { seedReturnStep } from './steps/seed-return.ts';
import { travelDirectionStep } from './steps/travel-direction.ts';
import { yieldLossStep } from './steps/yield-loss.ts';
import { zonesStep } from './steps/zones.ts';

export const steps: Readonly<Record<StepId, Step>> = {
  /** file → typed columns, flagged by row where a cell is not usable */
  records: recordsStep,
  /** boundary → frame, geodesic area, exclusions out, the cells of its maps */
  field: fieldStep,
  /** records, ratings, patches → places with counts and effort, by species and round */
  scouting: scoutingStep,
  /** scouting of a season → what speaks for each weed: counts, else patches, else a rating */
  evidence: evidenceStep,
  /** path → the main direction of its passes */
  'travel-direction': travelDirectionStep,
  /** 20 counts and more → one chain of the latent count model */
  'latent-chain': latentChainStep,
  /** places, rating or patches, chains → density, probability above the threshold, infested area with a range, what is unknown */
  infestation: infestationStep,
  /** infestation of each weed → areas, means and what is unknown to all of them */
  'infestation-facts': infestationFactsStep,
  /** log → flagged records, passes, swaths, newly cut area, yield; without a log an assumed path */
  'harvest-path': harvestPathStep,
  /** path → how much was cut, weighed and flagged */
  'harvest-facts': harvestFactsStep,
  /** weather, planting, sprayings → emergence, cover of each residual with its band, share left uncovered */
  season: seasonStep,
  /** counts before harvest, yield around them → the field's own loss curve, and whether it may stand in for the literature's */
  'own-loss': ownLossStep,
  /** density, crop, emergence time → share, mass and money lost this year */
  'yield-loss': yieldLossStep,
  /** survivors, crop, harvest date → seed produced, shed before harvest, standing at harvest */
  'seed-return': seedReturnStep,
  /** path → where the machine would lay one seed/m² that stands evenly */
  'movement-even': movementEvenStep,
  /** standing seed, path → where the machine laid it, what it kept, and what it does with one seed brought in */
  'movement-own': movementOwnStep,
  /** all fields of a machine in time order → seed carried in and out of each, clean-out taken off */
  'movement-chain': movementChainStep,
  /** the chain → what came into and left one field */
  carried: carriedStep,
  /** own and carried seed → all that came to the ground, and the closed ledger */
  landed: landedStep,
  /** standing seed, path, seed brought in → what was aboard at each point of the path, and where seed fell */
  'machine-load': machineLoadStep,
  /** counts, a word or nothing → where one more stop would settle most */
  'next-stops': nextStopsStep,
  /** what one round saw → where the weed is by it alone */
  'round-infestation': roundInfestationStep,
  /** probability or patches → zones a machine can treat */
  zones: zonesStep,
  /** survivors and landed seed → the bank of the coming spring */
  'bank-start': bankStartStep,
  /** emergence, program → what it lets live of each weed, in each crop to come */
  'program-effect': programEffectStep,
  /** bank, what a program lets live → bank, loss and cost in each year of the horizon */
  seedbank: seedbankStep,
  /** bank, what current practice lets live → what seed that rides in costs a field */
  'seed-worth': seedWorthStep,
  /** all programs on all fields → stake, gain, gain per money, the best set within the budget */
  priority: priorityStep,
};
