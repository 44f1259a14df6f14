import type { Edit } from '../../shared/model/edit.ts';
import type { Display } from '../../shared/units/format.ts';

export function unitsEdit(display: Display): Edit {
  const words = display === 'us' ? 'US customary units' : 'metric units';
  return { label: `Show ${words}`, sets: [{ path: ['display'], value: display }] };
}
