/** Sentences of a work order that screens, files and paper say alike. */
import type { HandOff } from './hand-off.ts';

export function outsideInWords({ outside }: Pick<HandOff, 'outside'>): string {
  if (outside.areaM2 <= 0) return 'The whole field is treated at one rate.';
  return outside.fraction > 0
    ? `Outside the zones the machine applies ${Math.round(100 * outside.fraction)}% of the zones’ rate.`
    : 'Outside the zones the machine applies nothing.';
}

export function positionLostInWords({ positionLost }: Pick<HandOff, 'positionLost'>): string {
  return positionLost === 'nothing'
    ? 'When the position is lost it applies nothing.'
    : `When the position is lost it goes on with the ${positionLost === 'zone rate' ? 'zones’ rate' : 'rate outside the zones'}.`;
}
