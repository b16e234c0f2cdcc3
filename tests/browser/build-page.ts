import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { build } from 'vite';

/** Builds one of the pages beside this file with the app's own settings. Returns the folder to serve. */
export async function buildPage(name: string): Promise<string> {
  const folder = mkdtempSync(join(tmpdir(), `ownwords-${name}-`));
  await build({
    root: join(import.meta.dirname, 'pages', name),
    configFile: join(import.meta.dirname, '../../vite.config.ts'),
    logLevel: 'warn',
    publicDir: join(import.meta.dirname, '../../public'),
    build: { outDir: folder, emptyOutDir: true },
  });
  return folder;
}
