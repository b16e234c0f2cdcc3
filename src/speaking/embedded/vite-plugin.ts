import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Plugin } from 'vite';
import { pack, packPath, readIndex, wanted } from './pack';

/** The voice data of the installed package, cut down to our languages. */
export function makePack(): Uint8Array<ArrayBuffer> {
  const script = createRequire(import.meta.url).resolve('@echogarden/espeak-ng-emscripten');
  const files = readIndex(readFileSync(script, 'utf8')).filter((file) => wanted(file));
  return pack(readFileSync(script.replace(/\.js$/, '.data')), files);
}

/** Serves the voice data at `packPath`, in the built site and in development. */
export function voiceData(): Plugin {
  return {
    name: 'voice-data',
    generateBundle() {
      this.emitFile({ type: 'asset', fileName: packPath, source: makePack() });
    },
    configureServer(server) {
      let made: Uint8Array | undefined;
      server.middlewares.use(`/${packPath}`, (_request, response) => {
        made ??= makePack();
        response.setHeader('Content-Type', 'application/octet-stream');
        response.end(made);
      });
    },
  };
}
