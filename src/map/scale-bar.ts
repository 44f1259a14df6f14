/** A scale bar of a round length, in feet or meters (miles or kilometers where they are long). */
import { formatNumber, type Display } from '../../shared/units/format.ts';
import { UNITS } from '../../shared/units/units.ts';

export interface ScaleBar {
  readonly px: number;
  readonly text: string;
}

const UNITS_OF = { us: ['ft', 'mi'], metric: ['m', 'km'] } as const;
const LEADS = [1, 2, 5];

/** The longest round length that is at most `mostPx` long. */
export function scaleBar(pxPerM: number, display: Display, mostPx: number): ScaleBar {
  const most = mostPx / pxPerM;
  const [small, large] = UNITS_OF[display];
  const unit = most >= UNITS[large].factor ? large : small;
  const lengthM = UNITS[unit].factor;
  const power = 10 ** Math.floor(Math.log10(most / lengthM));
  const length = power * Math.max(...LEADS.filter((lead) => lead * power * lengthM <= most * (1 + 1e-9)), 0);
  return { px: length * lengthM * pxPerM, text: `${formatNumber(length, length < 1 ? 1 : 0)} ${unit}` };
}
