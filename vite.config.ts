import react from '@vitejs/plugin-react';
import { defineConfig } from 'vite';
import release from './package.json' with { type: 'json' };
import { licences } from './src/app/offline/licences.ts';
import { offlineCopy } from './src/app/offline/vite-plugin.ts';
import { recogniserFiles } from './src/hearing/embedded/vite-plugin.ts';
import { voiceData, voiceScript } from './src/speaking/embedded/vite-plugin.ts';

export default defineConfig({
  plugins: [react(), recogniserFiles(['en', 'fr']), voiceData(), licences(), offlineCopy(release.version)],
  // 'mpa': a missing file answers 404. The recogniser probes for optional model files and would
  // otherwise be handed the page in their place.
  appType: 'mpa',
  build: {
    target: 'es2023',
    chunkSizeWarningLimit: 1000,
  },
  preview: { port: 4173, strictPort: true },
  worker: { format: 'es', plugins: () => [voiceScript()] },
});
