/**
 * Programs that a new farm starts from, by timing and means alone: no ingredient, no rate, no cost. Their ratings are a pattern
 * (*assumed*, common practice, no source) until a person puts those of their state's guide in their place.
 */
import type { ControlRating, Program } from './farm.ts';

type Control = Program['passes'][number]['control'];

const control = (early: ControlRating, withTheCrop: ControlRating, late: ControlRating): Control => ({
  early,
  'with the crop': withTheCrop,
  late,
});

const pass = (
  id: string,
  timing: Program['passes'][number]['timing'],
  means: Program['passes'][number]['means'],
  daysFromPlanting: number,
  kills: Control,
  where: 'field' | 'zones' = 'field',
): Program['passes'][number] => ({
  id,
  timing,
  means,
  parts: [],
  daysFromPlanting,
  control: kills,
  controlOf: {},
  costPerHa: null,
  where,
  crops: [],
});

const post = pass('post', 'post-emergence', 'post', 30, control('none', 'good', 'fair'));
const fullRate = pass('full-rate-residual', 'pre-emergence', 'residual', 0, control('excellent', 'good', 'fair'));
const overlap = pass('overlapping-residual', 'early post-emergence', 'residual', 21, control('none', 'good', 'good'));

const program = (id: string, name: string, passes: Program['passes']): Program => ({ id, name, assumed: true, passes });

export const STARTING_PROGRAMS: readonly Program[] = [
  program('as-now', 'As now', [
    pass('residual', 'pre-emergence', 'residual', 0, control('good', 'fair', 'poor')),
    pass('post', 'post-emergence', 'post', 35, control('none', 'fair', 'poor')),
  ]),
  program('residual-then-post', 'Residual, then post', [
    pass('residual', 'pre-emergence', 'residual', 0, control('good', 'good', 'poor')),
    post,
  ]),
  program('full-rate-residual-then-post', 'Full-rate residual, then post', [fullRate, post]),
  program('overlapping-residuals', 'Overlapping residuals, then post', [fullRate, overlap, post]),
  program('zero-seed-patches', 'Zero seed: overlapping residuals, patches pulled, impact mill', [
    fullRate,
    overlap,
    post,
    pass(
      'pull-patches',
      'late post-emergence',
      'hand removal',
      75,
      control('excellent', 'excellent', 'excellent'),
      'zones',
    ),
    pass('mill', 'harvest', 'impact mill', 140, control('none', 'none', 'none')),
  ]),
];
