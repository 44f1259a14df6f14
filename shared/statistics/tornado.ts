/** One parameter at its low and its high end, the others central. */
export interface TornadoRow<Name extends string> {
  readonly parameter: Name;
  readonly low: number;
  readonly high: number;
}

/**
 * How far each parameter alone moves a result, widest first. It hides turning points: both ends may lie on one side of
 * the centre, so show low, centre and high.
 * @param ranges low and high end of each parameter to move
 * @param result of a whole set of parameters
 * @cost 1 + 2 × parameters evaluations
 * @source methods-season §5; reference case tornado of `seedbank`
 */
export function tornado<Name extends string>(
  central: Readonly<Record<Name, number>>,
  ranges: Readonly<Partial<Record<Name, readonly [low: number, high: number]>>>,
  result: (parameters: Readonly<Record<Name, number>>) => number,
): { readonly central: number; readonly rows: readonly TornadoRow<Name>[] } {
  const rows = (Object.entries(ranges) as [Name, readonly [number, number]][]).map(([parameter, [low, high]]) => ({
    parameter,
    low: result({ ...central, [parameter]: low }),
    high: result({ ...central, [parameter]: high }),
  }));
  const width = ({ low, high }: TornadoRow<Name>) => Math.abs(high - low);
  return { central: result(central), rows: rows.sort((a, b) => width(b) - width(a)) };
}
