import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { build } from '../../src/commands/prepare.mjs';

/**
 * Before the browser tests: they drive the built app, so it must be that of the present sources. What they and their
 * browsers leave behind goes when they have ended.
 */
export default function setup() {
  if (!build()) throw new Error('The app could not be built; the lines above say why.');
  const folder = mkdtempSync(join(tmpdir(), 'ownwords-tests-'));
  process.env.TMPDIR = folder;
  return async () => {
    // The last browsers notice only now that nobody drives them, and write as they go.
    for (let tries = 0; ; tries++)
      try {
        return rmSync(folder, { recursive: true, force: true });
      } catch (error) {
        if (tries === 40) throw error;
        await delay(250);
      }
  };
}
