/**
 * Exact tail probabilities of the two distributions that a score against chance needs. They are sums of a few hundred terms
 * at most, taken in logarithms so that small chances keep their size.
 */

/** ln(n!) for n = 0, 1, 2 …, grown as needed. */
const LOG_FACTORIALS: number[] = [0];

function logFactorial(n: number): number {
  for (let i = LOG_FACTORIALS.length; i <= n; i += 1) {
    LOG_FACTORIALS.push((LOG_FACTORIALS[i - 1] ?? 0) + Math.log(i));
  }
  return LOG_FACTORIALS[n] ?? 0;
}

function logChoose(n: number, k: number): number {
  return k < 0 || k > n ? Number.NEGATIVE_INFINITY : logFactorial(n) - logFactorial(k) - logFactorial(n - k);
}

function sumOfExponentials(logs: readonly number[]): number {
  const largest = Math.max(...logs);
  if (largest === Number.NEGATIVE_INFINITY) return 0;
  return Math.min(1, Math.exp(largest) * logs.reduce((sum, log) => sum + Math.exp(log - largest), 0));
}

function range(from: number, to: number): readonly number[] {
  return Array.from({ length: Math.max(0, to - from + 1) }, (_, i) => from + i);
}

/** P(X ≥ k) for X binomial: n trials, chance p each. */
export function binomialTail(k: number, n: number, p: number): number {
  if (k <= 0) return 1;
  if (k > n || p <= 0) return 0;
  if (p >= 1) return 1;
  return sumOfExponentials(range(k, n).map((i) => logChoose(n, i) + i * Math.log(p) + (n - i) * Math.log1p(-p)));
}

/** P(X ≥ k) for X hypergeometric: `drawn` taken out of `all`, of which `marked` are marked; X counts the marked ones taken. */
export function hypergeometricTail(k: number, all: number, marked: number, drawn: number): number {
  const most = Math.min(marked, drawn);
  if (k <= Math.max(0, drawn - (all - marked))) return 1;
  if (k > most) return 0;
  return sumOfExponentials(
    range(k, most).map((i) => logChoose(marked, i) + logChoose(all - marked, drawn - i) - logChoose(all, drawn)),
  );
}
