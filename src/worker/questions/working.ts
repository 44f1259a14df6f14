import { type Working, workingOf } from '../../../shared/analysis/working.ts';
import type { OpenFarm } from '../open-farm.ts';

/** null where no number of the study has that path. Those of zones, which may not be in the document yet, and of the harvest stand in books of their own. */
export function workingQuestion(open: OpenFarm, { path }: { readonly path: string }): Working | null {
  const [root, field] = path.split('/');
  const book =
    root === 'zone-numbers'
      ? (open.zoneFigures.get(field!) ?? null)
      : root === 'harvest'
        ? open.harvestFigures
        : open.figures;
  return book && workingOf(book, path, open.farm);
}
