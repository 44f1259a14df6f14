/** Share of the season's emergence that is out after so many degree days: three curves and their inverses in closed form. */

/**
 * Logistic: 1/(1 + exp(−k(x − t50))); cut to 0 before first emergence (x < 0), where the curve itself is not yet 0.
 * @param x degree days since first emergence
 * @source schutte2014 (waterhemp; fitted to its five means, derived)
 */
export function logisticEmergence(x: number, k: number, t50: number): number {
  return x < 0 ? 0 : 1 / (1 + Math.exp(-k * (x - t50)));
}

export function logisticDegreeDays(share: number, k: number, t50: number): number {
  return t50 + Math.log(share / (1 - share)) / k;
}

/** Weibull: 1 − exp(−((x − lag)/scale)^shape), 0 up to the lag. @source reference case emergence-cover/weibull */
export function weibullEmergence(x: number, scale: number, shape: number, lag = 0): number {
  return x <= lag ? 0 : -Math.expm1(-(((x - lag) / scale) ** shape));
}

export function weibullDegreeDays(share: number, scale: number, shape: number, lag = 0): number {
  return lag + scale * (-Math.log1p(-share)) ** (1 / shape);
}

/**
 * Gompertz: exp(−b·exp(−kx)). At x = 0 it already stands at exp(−b): a caller must remove that share or tell it.
 * @source reference case emergence-cover/gompertz
 */
export function gompertzEmergence(x: number, b: number, k: number): number {
  return Math.exp(-b * Math.exp(-k * x));
}

export function gompertzDegreeDays(share: number, b: number, k: number): number {
  return Math.log(b / -Math.log(share)) / k;
}
