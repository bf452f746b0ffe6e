/** From this shape on the package's incomplete gamma is not used: at shapes near 1000 it errs in the third digit. */
export const LARGE_SHAPE = 200;
/** From this shape on the sums grow long, and the cube root of the variable is normal to the last digits told. */
const CUBE_ROOT_NORMAL = 1e9;
/** Terms of sum or fraction smaller than this change nothing. */
const NOTHING = 1e-17;
const MOST_TERMS = 10_000_000;

/** Shares of a gamma variable of scale 1 below and above x; each is accurate where it is the small one. */
export interface GammaShares {
  readonly below: number;
  readonly above: number;
}

/**
 * Shares for large shapes. Below the shape by the power series, above it by Legendre's continued fraction, both as in
 * Abramowitz and Stegun 6.5 (from memory); the factor before them written so that nothing cancels.
 */
export function largeGammaShares(x: number, shape: number, normalShare: (z: number) => number): GammaShares {
  if (!(x > 0)) return { below: 0, above: 1 };
  if (x === Infinity) return { below: 1, above: 0 };
  if (shape > CUBE_ROOT_NORMAL) {
    const z = 3 * Math.sqrt(shape) * (Math.cbrt(x / shape) - 1 + 1 / (9 * shape));
    return { below: normalShare(z), above: normalShare(-z) };
  }
  const factor = powerOverGamma(x, shape);
  if (x < shape) {
    const below = Math.min(1, factor * powerSeries(x, shape));
    return { below, above: 1 - below };
  }
  const above = Math.min(1, factor * shape * continuedFraction(x, shape));
  return { below: 1 - above, above };
}

/** Density at x of a gamma variable of that large shape, scale 1. */
export function largeGammaDensity(x: number, shape: number): number {
  return powerOverGamma(x, shape) * (shape / x);
}

/** x^a e^-x / gamma(a + 1), by Stirling's series around x = a. */
function powerOverGamma(x: number, a: number): number {
  const away = (x - a) / a;
  const exponent = -a * (away - Math.log1p(away));
  const stirling = 1 / (12 * a) - 1 / (360 * a ** 3) + 1 / (1260 * a ** 5);
  return Math.exp(exponent - stirling) / Math.sqrt(2 * Math.PI * a);
}

/** 1 + x / (a + 1) + x^2 / ((a + 1)(a + 2)) + ... */
function powerSeries(x: number, a: number): number {
  let term = 1;
  let sum = 1;
  for (let n = 1; n < MOST_TERMS && term > NOTHING * sum; n += 1) {
    term *= x / (a + n);
    sum += term;
  }
  return sum;
}

/** 1 / (x + 1 - a - 1 (1 - a) / (x + 3 - a - 2 (2 - a) / (x + 5 - a - ...))), from the front (Lentz). */
function continuedFraction(x: number, a: number): number {
  const tiny = 1e-300;
  let b = x + 1 - a;
  let c = 1 / tiny;
  let d = 1 / b;
  let fraction = d;
  for (let n = 1; n < MOST_TERMS; n += 1) {
    const numerator = n * (a - n);
    b += 2;
    d = 1 / (numerator * d + b || tiny);
    c = b + numerator / c || tiny;
    const step = c * d;
    fraction *= step;
    if (Math.abs(step - 1) < 1e-15) break;
  }
  return fraction;
}
