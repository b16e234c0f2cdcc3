import { defineConfig } from 'vitest/config';

// Two projects: `unit` needs only Node, `browser` drives the built app in a real Chromium.
export default defineConfig({
  test: {
    projects: [
      {
        test: {
          name: 'unit',
          include: ['tests/**/*.test.ts', 'tests/**/*.test.tsx'],
          exclude: ['tests/browser/**', 'node_modules/**'],
          setupFiles: ['tests/seed.ts'],
          // A thread begins faster than a process, and there are some two hundred files.
          pool: 'threads',
          // Left to itself it keeps one of two cores for a watcher that is not there.
          maxWorkers: '100%',
          // Room for a machine that is busy, and for spoilt input by the ten thousand: speed is measured by the benches.
          testTimeout: process.env.MUTATED ? 3_600_000 : 120_000,
        },
      },
      {
        test: {
          name: 'browser',
          include: ['tests/browser/**/*.test.ts'],
          globalSetup: ['tests/browser/build.ts'],
          testTimeout: 240_000,
          hookTimeout: 240_000,
          // Most of their time they wait for a voice or a listener: two share the cores.
          maxWorkers: 2,
        },
      },
    ],
  },
});
