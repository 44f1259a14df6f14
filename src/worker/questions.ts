/** Every question that the page may ask of the open farm; the only place that lists them. Types on the page's side follow from here. */
import { budgetCurveQuestion } from './questions/budget-curve.ts';
import { flaggedRecordsQuestion } from './questions/flagged-records.ts';
import { harvestOrderQuestion } from './questions/harvest-order.ts';
import { changeBetweenQuestion, weedOverRoundsQuestion } from './questions/changes.ts';
import { closeFarmQuestion } from './questions/close-farm.ts';
import { fieldPatchesQuestion } from './questions/field-patches.ts';
import { fieldNotesQuestion } from './questions/field-notes.ts';
import { farmFileQuestion } from './questions/farm-file.ts';
import { harvestChoicesQuestion, harvestPlanQuestion } from './questions/harvest-plan.ts';
import { harvestPathQuestion } from './questions/harvest-path.ts';
import { lookNextQuestion } from './questions/look-next.ts';
import { machineLoadQuestion } from './questions/machine-load.ts';
import { machineFilesQuestion } from './questions/machine-files.ts';
import { mapGridQuestion } from './questions/map-grid.ts';
import { ratingsQuestion } from './questions/ratings.ts';
import { keepAttachmentsQuestion, lostAttachmentsQuestion } from './questions/review-attachments.ts';
import { scoutedPlacesQuestion } from './questions/scouted-places.ts';
import { seedTraceQuestion } from './questions/seed-trace.ts';
import { seasonStripQuestion } from './questions/season-strip.ts';
import { seasonsBesideQuestion } from './questions/seasons-beside.ts';
import { thresholdTrialQuestion } from './questions/threshold-trial.ts';
import { walkedTracksQuestion } from './questions/walked-tracks.ts';
import { workingQuestion } from './questions/working.ts';
import { zoneNumbersQuestion } from './questions/zone-numbers.ts';
import { zoneProposalQuestion } from './questions/zone-proposal.ts';

export const questions = {
  /** The working behind a shown number, by its path in the study. */
  working: workingQuestion,
  /** One quantity over the cells of a field. */
  'map grid': mapGridQuestion,
  /** Where a weed would stand above another threshold. */
  'threshold trial': thresholdTrialQuestion,
  /** Where somebody counted, what, and with how much effort. */
  'scouted places': scoutedPlacesQuestion,
  /** Where somebody walked, with the places that they marked. */
  'walked tracks': walkedTracksQuestion,
  /** The word that each field was rated with. */
  ratings: ratingsQuestion,
  /** Stops that would settle most, of a field or of the farm within a time. */
  'look next': lookNextQuestion,
  /** A weed on every field in every round, and what became of it. */
  'weed over rounds': weedOverRoundsQuestion,
  /** Where a weed appeared, is gone or stayed on a field between two rounds. */
  'change between': changeBetweenQuestion,
  /** What each season that was scouted found. */
  'seasons beside': seasonsBesideQuestion,
  /** The way of the combine through a field, point by point. */
  'harvest path': harvestPathQuestion,
  /** Where the records with a flag lie. */
  'flagged records': flaggedRecordsQuestion,
  /** What was aboard at each point of that way, and where seed fell. */
  'machine load': machineLoadQuestion,
  /** Patches drawn of a field. */
  'field patches': fieldPatchesQuestion,
  /** Where the seed of some ground landed, or where the seed on it came from. */
  'seed trace': seedTraceQuestion,
  /** Each machine's fields in the order of its visits, and the seed carried between them. */
  'harvest order': harvestOrderQuestion,
  /** In which order to harvest, and what each clean-out is worth. */
  'harvest plan': harvestPlanQuestion,
  /** What else can be done on one field: header, mill, chaff lines, its patches. */
  'harvest choices': harvestChoicesQuestion,
  /** A field's season by day: weather, emergence, cover and its gaps, what was done and when. */
  'season strip': seasonStripQuestion,
  /** The best set of programs over a row of budgets. */
  'budget curve': budgetCurveQuestion,
  /** Area, plants, seed, loss, gain and cost of zones as they are drawn. */
  'zone numbers': zoneNumbersQuestion,
  /** The zones that would be proposed where the weed is likelier than some chance. */
  'zone proposal': zoneProposalQuestion,
  /** Zones with rates as a file for a machine, read back. */
  'machine files': machineFilesQuestion,
  /** Files that the next edit will name. */
  'keep attachments': keepAttachmentsQuestion,
  'lost attachments': lostAttachmentsQuestion,
  /** What was marked in the field, as one small file. */
  'field notes': fieldNotesQuestion,
  /** The whole farm in one zip. */
  'farm file': farmFileQuestion,
  /** Nothing of the farm is written any more. */
  'close farm': closeFarmQuestion,
};

export type Questions = typeof questions;
export type QuestionKind = keyof Questions;
export type AskOf<K extends QuestionKind> = Parameters<Questions[K]>[1];
export type AnswerOf<K extends QuestionKind> = Awaited<ReturnType<Questions[K]>>;
