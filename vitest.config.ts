import { readdirSync, readFileSync } from 'node:fs';
import { defineConfig } from 'vitest/config';
import { BaseSequencer, type TestSpecification } from 'vitest/node';

/** What changes the world that a test file runs in: other modules, other globals. The runtime of the model sets one. */
const changes = /\bvi\.mock\(|openTransformer|onnxruntime|@vitest-environment/;
/** What has a disk under it: records of a kiosk, sealed or not. */
const disk = /fake-indexeddb|seal\/kiosk'|'\.\/kiosks?'/;
const units = readdirSync(`${import.meta.dirname}/tests`, { recursive: true, encoding: 'utf8' })
  .map((name) => `tests/${name}`)
  .filter((name) => /\.test\.tsx?$/.test(name) && !name.startsWith('tests/browser/'));
const textOf = (name: string) => readFileSync(`${import.meta.dirname}/${name}`, 'utf8');
const apart = units.filter((name) => changes.test(textOf(name)));
const disks = units.filter((name) => disk.test(textOf(name)) && !apart.includes(name));
const pages = apart.filter((name) => !changes.test(textOf(name).replace('@vitest-environment', '')));

const unit = {
  // A thread begins faster than a process, and there are some two hundred files.
  pool: 'threads' as const,
  // Left to itself it keeps one of two cores for a watcher that is not there.
  maxWorkers: '100%',
  // Room for a machine that is busy, and for spoilt input by the ten thousand: speed is measured by the benches.
  testTimeout: process.env.MUTATED ? 3_600_000 : 120_000,
};

/**
 * What takes longest in a browser: begun last, one of two cores would wait for it. What goes at the pace of speech
 * leaves half a core, so it runs beside what is all work.
 */
const long = ['by-ear', 'screens', 'hearing', 'accessible', 'ears', 'crash', 'offline', 'trouble'];

class LongFirst extends BaseSequencer {
  override async sort(files: TestSpecification[]): Promise<TestSpecification[]> {
    const rank = ({ moduleId }: TestSpecification) => {
      const at = long.findIndex((name) => moduleId.endsWith(`/browser/${name}.test.ts`));
      return at < 0 ? long.length : at;
    };
    return (await super.sort(files)).sort((a, b) => rank(a) - rank(b));
  }
}

// The units need only Node. Most of their files share a world, as half their time would go into making one; so do those
// that need no more than a page, or a disk. Those that change theirs have one each. `browser` drives the built app in a
// real Chromium.
export default defineConfig({
  test: {
    sequence: { sequencer: LongFirst },
    projects: [
      {
        test: {
          ...unit,
          name: 'unit',
          include: units.filter((name) => !apart.includes(name) && !disks.includes(name)),
          setupFiles: ['tests/seed.ts', 'tests/left.ts'],
          isolate: false,
        },
      },
      {
        // Argon2id is dear by design, and secret.test.ts has the real one.
        resolve: { alias: { 'hash-wasm': `${import.meta.dirname}/tests/records/seal/cheap.ts` } },
        test: {
          ...unit,
          name: 'unit-disk',
          include: disks,
          setupFiles: ['tests/seed.ts', 'tests/records/disk.ts', 'tests/left.ts'],
          isolate: false,
        },
      },
      {
        test: {
          ...unit,
          name: 'unit-pages',
          include: pages,
          setupFiles: ['tests/seed.ts', 'tests/left.ts'],
          environment: 'happy-dom',
          isolate: false,
        },
      },
      {
        test: {
          ...unit,
          name: 'unit-apart',
          include: apart.filter((name) => !pages.includes(name)),
          setupFiles: ['tests/seed.ts'],
        },
      },
      {
        test: {
          name: 'browser',
          include: ['tests/browser/**/*.test.ts'],
          globalSetup: ['tests/browser/build.ts'],
          setupFiles: ['tests/left.ts'],
          isolate: false,
          testTimeout: 240_000,
          hookTimeout: 240_000,
          // Most of their time they wait for a voice or a listener: two share the cores.
          maxWorkers: 2,
        },
      },
    ],
  },
});
