import { readdir } from 'node:fs/promises';
import { basename } from 'node:path';
import { fileURLToPath } from 'node:url';
import type { Plugin } from 'vite';
import { modelFile, modelFolder } from './model-files.ts';
import { modelFor } from './models.ts';

/**
 * Ships the model files of these languages under /model/<model>/ in `vite` and in `vite build`, as their readers
 * want them, and stands in for a Blob polyfill that has no place in a worker. Throws for a language without a model.
 */
export function recogniserFiles(languages: readonly string[]): Plugin {
  const models = new Map(
    languages.map((language) => {
      const model = modelFor(language);
      if (!model) throw new Error(`nothing of ours hears the language "${language}"`);
      return [model.folder, model];
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
        const [folder, file, ...more] = path.slice(base.length).split('/');
        const of = models.get(folder ?? '');
        const named = of && file && more.length === 0 && basename(file) === file;
        // The recogniser asks for optional files: whatever is missing has to say so.
        const bytes = named ? await modelFile(of, file).catch(() => undefined) : undefined;
        if (!bytes) {
          response.statusCode = 404;
          response.end();
          return;
        }
        response.setHeader('content-type', 'application/octet-stream');
        response.end(bytes);
      });
    },
    async generateBundle() {
      if (this.environment.name !== 'client') return;
      for (const [folder, model] of models) {
        for (const file of await readdir(modelFolder(model))) {
          this.emitFile({
            type: 'asset',
            fileName: `model/${folder}/${file}`,
            source: await modelFile(model, file),
          });
        }
      }
    },
  };
}
