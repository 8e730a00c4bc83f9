import type { Reporter, TestModule, TestSuite } from 'vitest/node';

/** Ends a run with what was not run here and why, what passed only when tried again, then one plain line of counts. */
export default class CountsReporter implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const skippedSuites = new Set<string>();
    const again: string[] = [];
    const counts = { passed: 0, failed: 0, skipped: 0 };
    for (const module of modules) {
      for (const test of module.children.allTests()) {
        const state = test.result().state;
        if (state === 'passed') counts.passed += 1;
        else if (state === 'failed') counts.failed += 1;
        else counts.skipped += 1;
        if (state === 'passed' && (test.diagnostic()?.retryCount ?? 0) > 0)
          again.push(`${module.relativeModuleId} ${test.fullName}`);
        if (state === 'skipped' && test.parent.type === 'suite') skippedSuites.add(outermostSkipped(test.parent).name);
      }
      if (module.state() === 'failed' && module.children.size === 0) counts.failed += 1;
    }
    const lines = [...skippedSuites].sort().map((name) => `not run here: ${name}`);
    lines.push(...again.map((name) => `passed only when tried again: ${name}`));
    lines.push(`${counts.passed} passed, ${counts.failed} failed, ${counts.skipped} skipped`);
    process.stdout.write(`\n${lines.join('\n')}\n`);
  }
}

/** The suite that was left out as a whole, which may stand in one that was run. */
function outermostSkipped(suite: TestSuite): TestSuite {
  const { parent } = suite;
  return parent.type === 'suite' && parent.state() === 'skipped' ? outermostSkipped(parent) : suite;
}
