/**
 * The standard normal distribution. Formulas of Abramowitz and Stegun, Handbook of Mathematical Functions: 7.1.26 (error
 * below 1.5e-7) and 26.2.23 as a start for two steps of Newton's. Tables of two decimals, as the small statistics packages
 * have them, would make the interval jump.
 */

const ERF: readonly number[] = [1.061405429, -1.453152027, 1.421413741, -0.284496736, 0.254829592];

/** Probability of a value below z. */
export function normalBelow(z: number): number {
  const x = Math.abs(z) * Math.SQRT1_2;
  const t = 1 / (1 + 0.3275911 * x);
  let sum = 0;
  for (const factor of ERF) sum = (sum + factor) * t;
  const tail = (sum * Math.exp(-x * x)) / 2;
  return z > 0 ? 1 - tail : tail;
}

/** The value that is not reached with a probability, above 0 and below 1. */
export function normalQuantile(probability: number): number {
  const share = Math.min(1 - 1e-7, Math.max(1e-7, probability));
  const t = Math.sqrt(-2 * Math.log(Math.min(share, 1 - share)));
  const size = t - (2.515517 + t * (0.802853 + t * 0.010328)) / (1 + t * (1.432788 + t * (0.189269 + t * 0.001308)));
  let z = share < 0.5 ? -size : size;
  for (let i = 0; i < 2; i++) z -= (normalBelow(z) - share) / (Math.exp((-z * z) / 2) / Math.sqrt(2 * Math.PI));
  return z;
}
