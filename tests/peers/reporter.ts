import type { Reporter, TestModule, TestSuite } from 'vitest/node';

/** Ends a run with what was not run here and why, then one plain line of counts. */
export default class CountsReporter implements Reporter {
  onTestRunEnd(modules: readonly TestModule[]): void {
    const skippedSuites = new Set<string>();
    const counts = { passed: 0, failed: 0, skipped: 0 };
    for (const module of modules) {
      for (const test of module.children.allTests()) {
        const state = test.result().state;
        if (state === 'passed') counts.passed += 1;
        else if (state === 'failed') counts.failed += 1;
        else counts.skipped += 1;
        if (state === 'skipped' && test.parent.type === 'suite') skippedSuites.add(outermost(test.parent).name);
      }
      if (module.state() === 'failed' && module.children.size === 0) counts.failed += 1;
    }
    const lines = [...skippedSuites].sort().map((name) => `not run here: ${name}`);
    lines.push(`${counts.passed} passed, ${counts.failed} failed, ${counts.skipped} skipped`);
    process.stdout.write(`\n${lines.join('\n')}\n`);
  }
}

function outermost(suite: TestSuite): TestSuite {
  return suite.parent.type === 'suite' ? outermost(suite.parent) : suite;
}
