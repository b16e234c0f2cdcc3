import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { build } from '../../src/commands/prepare.mjs';

/**
 * Before the browser tests: they drive the built app, so it must be that of the present sources. What they and their
 * browsers leave behind goes when they have ended: the browsers that many share end with the process, and tidy nothing.
 */
export default function setup() {
  if (!build()) throw new Error('The app could not be built; the lines above say why.');
  const folder = mkdtempSync(join(tmpdir(), 'ownwords-tests-'));
  process.env.TMPDIR = folder;
  return () => rmSync(folder, { recursive: true, force: true, maxRetries: 10, retryDelay: 500 });
}
