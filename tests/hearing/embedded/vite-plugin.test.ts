import { createServer, type ViteDevServer } from 'vite';
import { afterAll, beforeAll, expect, test, vi } from 'vitest';
import { recogniserFiles } from '../../../src/hearing/embedded/vite-plugin';

vi.setConfig({ hookTimeout: 60_000 });

let server: ViteDevServer;
let base = '';
beforeAll(async () => {
  server = await createServer({
    configFile: false,
    logLevel: 'silent',
    appType: 'mpa',
    plugins: [recogniserFiles(['fr'])],
    server: { port: 0, host: '127.0.0.1', ws: false },
    optimizeDeps: { noDiscovery: true },
  });
  await server.listen();
  base = server.resolvedUrls?.local[0] ?? '';
});
afterAll(() => server.close());

const get = (path: string) => fetch(new URL(path, base));

test('the development server hands out the files of the models that are shipped', async () => {
  const answer = await get('model/fr-fr/feat_params.json');
  expect(answer.status).toBe(200);
  expect(await answer.json()).toMatchObject({ feat: '1s_c_d_dd' });
  expect(Number((await get('model/fr-fr/mdef')).status)).toBe(200);
});

test.each([
  'model/fr-fr/feature_transform',
  'model/en-us/mdef',
  'model/fr-fr/..%2f..%2fpackage.json',
  'model/fr-fr/',
  'model/',
])('anything else is 404, never a page: %s', async (path) => {
  expect((await get(path)).status).toBe(404);
});

test('a language that nothing hears is refused by name', () => {
  expect(() => recogniserFiles(['fi'])).toThrow('"fi"');
});
