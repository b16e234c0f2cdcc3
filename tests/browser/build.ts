import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { build } from '../../src/commands/prepare.mjs';
import { withProfilesIn } from './processes';

/** ms */
const patience = 20_000;

/**
 * Before the browser tests: they drive the built app, so it must be that of the present sources. What they and their
 * browsers leave behind goes when they have ended.
 */
export default function setup() {
  if (!build()) throw new Error('The app could not be built; the lines above say why.');
  const folder = mkdtempSync(join(tmpdir(), 'ownwords-tests-'));
  process.env.TMPDIR = folder;
  return async () => {
    // The browsers that many shared notice only now that nobody drives them, and write as they go.
    for (const end = Date.now() + patience; withProfilesIn(folder).length > 0; await delay(100))
      if (Date.now() > end) throw new Error(`a browser still runs on a profile in ${folder}`);
    rmSync(folder, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
  };
}
