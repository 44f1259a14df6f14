/** What a person is told about flow, moisture and mass of the grain in a harvest log. */
import { problem } from '../model/problem.ts';
import type { Findings, Telling } from './harvest-findings.ts';
import { STANDARD_MOISTURE } from './yield-map.ts';

export function tellFlow({ input: { log }, delay, crop, mass }: Findings, { note, warn }: Telling): void {
  if (log.flowKgS.every((flow) => flow !== flow)) {
    warn('no-flow', 'The log has no grain flow: path and ground cut are known, yield is not.');
  } else {
    if (!delay.decided) {
      note('delay-default', `Grain-flow delay: ${delay.why}.`, 'Enter the delay if the machine has been calibrated.');
    }
    if (crop === null || STANDARD_MOISTURE[crop] === undefined) {
      const what = crop === null ? 'The crop is not known' : `No trade moisture is known for ${crop}`;
      warn('no-standard-moisture', `${what}: mass and yield at standard moisture are not given.`);
    }
    if (mass.scaleFactor !== 1) {
      const text = `Flow was multiplied by ${mass.scaleFactor.toFixed(3)} to meet the scale total.`;
      if (mass.scaleFactor < 0.75 || mass.scaleFactor > 1.33) {
        warn('scale-far-off', text, 'Is the scale total that of this log alone?');
      } else note('scaled', text);
    }
  }
}

export function tellMoisture({ input, mass, path }: Findings, { add }: Telling): void {
  const { log } = input;
  let tenths = 0;
  let first = -1;
  let most = 0;
  for (let i = 0; i < log.count; i++) {
    const m = log.moistureFraction[i]!;
    if (!(m >= 1)) continue;
    if (first < 0) first = i;
    most++;
    if (m <= 4) tenths++;
  }
  if (first >= 0) {
    const percent = Math.round(100 * log.moistureFraction[first]!);
    add(
      problem(
        'warning',
        'moisture-in-tenths',
        `Row ${log.row[first]}: moisture is ${percent}%; ${most} records lie at 100% or above, ${tenths} of them between 100 and 400%.`,
        { where: { row: log.row[first]!, column: 'moisture' }, hint: 'Is the column in tenths of a percent?' },
      ),
    );
  }
  if (mass.moistureFilled > 0) {
    add(
      problem(
        'note',
        'moisture-stand-in',
        `${mass.moistureFilled} of ${path.count} records have no plausible moisture; their mass is taken at ${(100 * mass.moistureStandIn).toFixed(1)} %.`,
      ),
    );
  }
}
