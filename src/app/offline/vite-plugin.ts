import { createHash } from 'node:crypto';
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join, relative, resolve, sep } from 'node:path';
import { fileURLToPath } from 'node:url';
import { build, type Plugin } from 'vite';
import { type AppFile, type AppVersion, settings } from './files.ts';

const worker = 'offline.js';
const versionFile = 'version.json';

/** All files under a folder, save hidden ones. */
function filesOf(folder: string): string[] {
  return readdirSync(folder, { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && !entry.name.startsWith('.'))
    .map((entry) => join(entry.parentPath, entry.name))
    .sort();
}

/** Each file that the copy is to hold, with its hash. */
export function listFiles(folder: string): AppFile[] {
  return filesOf(folder)
    .map((file) => ({ file, url: `/${relative(folder, file).split(sep).join('/')}` }))
    .filter(({ url }) => url !== settings && url !== `/${worker}` && !url.endsWith('.map'))
    .map(({ file, url }) => {
      const content = readFileSync(file);
      return {
        url,
        bytes: content.length,
        integrity: `sha384-${createHash('sha384').update(content).digest('base64')}`,
      };
    });
}

/** "0.1.0+3f9c2a1": another one as soon as any file differs. */
export function versionOf(files: readonly AppFile[], release: string): string {
  const sum = createHash('sha256').update(
    files.map(({ url, integrity }) => `${url} ${integrity}\n`).join(''),
  );
  return `${release}+${sum.digest('hex').slice(0, 7)}`;
}

/** After the app is built: a list of all its files by their hashes, and the worker that keeps a copy of them. */
export function offlineCopy(release: string): Plugin {
  let folder = '';
  let root = '';
  return {
    name: 'ownwords-offline-copy',
    apply: 'build',
    configResolved(config) {
      root = config.root;
      folder = resolve(config.root, config.build.outDir);
    },
    closeBundle: {
      order: 'post',
      async handler() {
        if (this.environment.name !== 'client') return;
        const content = listFiles(folder).filter(({ url }) => url !== `/${versionFile}`);
        const about: AppVersion = {
          version: versionOf(content, release),
          files: content.length,
          bytes: content.reduce((sum, { bytes }) => sum + bytes, 0),
        };
        writeFileSync(join(folder, versionFile), `${JSON.stringify(about)}\n`);
        await build({
          configFile: false,
          root,
          publicDir: false,
          logLevel: 'warn',
          define: {
            __APP_FILES__: JSON.stringify(listFiles(folder)),
            'process.env.NODE_ENV': '"production"',
          },
          build: {
            target: 'es2023',
            outDir: folder,
            emptyOutDir: false,
            rollupOptions: {
              input: fileURLToPath(new URL('./worker.ts', import.meta.url)),
              output: { entryFileNames: worker, format: 'iife' },
            },
          },
        });
      },
    },
  };
}
