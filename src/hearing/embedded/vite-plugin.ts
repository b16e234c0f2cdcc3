import { createReadStream } from 'node:fs';
import { readdir, readFile, stat } from 'node:fs/promises';
import { createRequire } from 'node:module';
import { basename, dirname, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Plugin } from 'vite';

/**
 * Ships the recogniser's model files under /model/<model>/ in `vite` and in `vite build`, straight from the
 * npm package, and stands in for a Blob polyfill that has no place in a worker.
 */
export function recogniserFiles(models: readonly string[]): Plugin {
  const require = createRequire(import.meta.url);
  const folder = join(dirname(require.resolve('soundswallower')), 'model');

  return {
    name: 'ownwords-recogniser-files',
    config: () => ({
      resolve: {
        alias: { 'blob-polyfill': fileURLToPath(new URL('./blob.ts', import.meta.url)) },
      },
      // The package finds its WebAssembly beside its script; bundled beforehand it would lose it.
      optimizeDeps: { exclude: ['soundswallower'] },
    }),
    configureServer(server) {
      const base = `${server.config.base}model/`;
      server.middlewares.use(async (request, response, next) => {
        const path = (request.url ?? '').split('?')[0]!;
        if (!path.startsWith(base)) return next();
        const [model, file, ...more] = path.slice(base.length).split('/');
        const named = model && file && more.length === 0 && models.includes(model) && basename(file) === file;
        const source = join(folder, model ?? '', file ?? '');
        // The recogniser asks for optional files: whatever is missing has to say so.
        if (!named || !(await stat(source).catch(() => undefined))?.isFile()) {
          response.statusCode = 404;
          response.end();
          return;
        }
        response.setHeader('content-type', 'application/octet-stream');
        createReadStream(source).pipe(response);
      });
    },
    async generateBundle() {
      if (this.environment.name !== 'client') return;
      for (const model of models) {
        for (const file of await readdir(join(folder, model))) {
          this.emitFile({
            type: 'asset',
            fileName: `model/${model}/${file}`,
            source: await readFile(join(folder, model, file)),
          });
        }
      }
    },
  };
}
