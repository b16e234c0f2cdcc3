import { createReadStream } from 'node:fs';
import { readdir, readFile, stat } from 'node:fs/promises';
import { basename, join } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Plugin } from 'vite';
import { modelFor } from './models.ts';
import { packageFolder } from './package-folder.ts';

/**
 * Ships the model files of these languages under /model/<model>/ in `vite` and in `vite build`, straight from the npm
 * packages, and stands in for a Blob polyfill that has no place in a worker. Throws for a language without a model.
 */
export function recogniserFiles(languages: readonly string[]): Plugin {
  const folders = new Map(
    languages.map((language) => {
      const model = modelFor(language);
      if (!model) throw new Error(`nothing of ours hears the language "${language}"`);
      return [model.folder, join(packageFolder(model.from.package), model.from.path)];
    }),
  );

  return {
    name: 'ownwords-recogniser-files',
    config: () => ({
      resolve: {
        alias: { 'blob-polyfill': fileURLToPath(new URL('./blob.ts', import.meta.url)) },
      },
      // The package finds its WebAssembly beside its script; bundled beforehand it would lose it.
      optimizeDeps: { exclude: ['soundswallower', 'onnxruntime-web'] },
    }),
    configureServer(server) {
      const base = `${server.config.base}model/`;
      server.middlewares.use(async (request, response, next) => {
        const path = (request.url ?? '').split('?')[0]!;
        if (!path.startsWith(base)) return next();
        const [model, file, ...more] = path.slice(base.length).split('/');
        const named = model && file && more.length === 0 && folders.has(model) && basename(file) === file;
        const source = join(folders.get(model ?? '') ?? '', file ?? '');
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
      for (const [model, folder] of folders) {
        for (const file of await readdir(folder)) {
          this.emitFile({
            type: 'asset',
            fileName: `model/${model}/${file}`,
            source: await readFile(join(folder, file)),
          });
        }
      }
    },
  };
}
