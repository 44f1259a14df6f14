/** The shapes of what the worker answers, for those who show it. */
export type { Progress } from '../worker/protocol.ts';
export type { ShownPath } from '../worker/questions/harvest-path.ts';
export type { MapGrid, MapQuantity } from '../worker/questions/map-grid.ts';
export type { ScoutedPlace } from '../worker/questions/scouted-places.ts';
export type { ShownTrace } from '../worker/questions/seed-trace.ts';
export type { FieldStrip, StripSpraying } from '../worker/questions/season-strip.ts';
export type { HarvestStop, MachineRound } from '../worker/questions/harvest-order.ts';
export type { AnswerOf } from '../worker/questions.ts';
