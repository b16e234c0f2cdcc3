import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { Plugin } from 'vite';
import { pack, packPath, readIndex, wanted } from './pack.ts';

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
      if (this.environment.name !== 'client') return;
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

/**
 * For the workers' bundle. The script carries its WebAssembly inside; the file that it names for other builds is
 * not there, and Vite would give a warning about it.
 */
export function voiceScript(): Plugin {
  return {
    name: 'voice-script',
    enforce: 'pre',
    transform(code, id) {
      if (!id.includes('espeak-ng-emscripten')) return;
      return code.replace('new URL("espeak-ng.wasm"', 'new URL(/* @vite-ignore */ "espeak-ng.wasm"');
    },
  };
}
