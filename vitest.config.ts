import { defineConfig } from 'vitest/config';

export default defineConfig({
  test: {
    include: ['tests/**/*.test.ts'],
    testTimeout: 30_000,
    hookTimeout: 30_000,
    pool: 'forks',
    // Peers and namespaces on a busy machine: one more try there, never where a person develops.
    retry: process.env.CI === 'true' ? 2 : 0,
    reporters: ['default', './tests/peers/reporter.ts'],
  },
});
