import { PrecacheController, PrecacheRoute } from 'workbox-precaching';
import { registerRoute } from 'workbox-routing';
import { NetworkFirst } from 'workbox-strategies';
import { type AppFile, type OfflineNews, settings } from './files';

/*
 * Keeps a copy of the whole app, models and all, so that the kiosk starts and works without a server. The browser
 * checks each file against its hash as it comes; a file that differs is not kept, and the copy is not used before it
 * is whole. A newer copy waits until a page says that nobody is in a visit.
 */

declare const __APP_FILES__: AppFile[];

interface Scope {
  clients: {
    matchAll(of: object): Promise<{ postMessage(news: OfflineNews): void }[]>;
    claim(): Promise<void>;
  };
  skipWaiting(): Promise<void>;
  addEventListener(
    type: string,
    listener: (event: Event & { data?: unknown; waitUntil(on: unknown): void }) => void,
  ): void;
}
const scope = globalThis as unknown as Scope;

async function tell(news: OfflineNews): Promise<void> {
  for (const page of await scope.clients.matchAll({ type: 'window', includeUncontrolled: true }))
    page.postMessage(news);
}

const pathOf = (request: Request) => new URL(request.url).pathname;

const copy = new PrecacheController({
  plugins: [
    {
      handlerDidComplete: async ({ request, error }) => {
        if (!error) await tell({ news: 'stored', url: pathOf(request) });
      },
      fetchDidFail: async ({ request, error }) =>
        tell({ news: 'failed', url: pathOf(request), why: error.message }),
    },
  ],
});
copy.addToCacheList(
  __APP_FILES__.map(({ url, integrity }) => ({
    url,
    integrity,
    // Names under assets/ carry a hash of their content.
    revision: url.startsWith('/assets/') ? null : integrity,
  })),
);

registerRoute(
  new PrecacheRoute(copy, {
    directoryIndex: 'index.html',
    cleanURLs: false,
    ignoreURLParametersMatching: [/./],
  }),
);
registerRoute(
  ({ url, sameOrigin }) => sameOrigin && url.pathname === settings,
  new NetworkFirst({ cacheName: 'ownwords-settings', networkTimeoutSeconds: 5 }),
);

scope.addEventListener('install', (event) => event.waitUntil(copy.install(event as never)));
scope.addEventListener('activate', (event) =>
  event.waitUntil(copy.activate(event as never).then(() => scope.clients.claim())),
);
scope.addEventListener('message', (event) => {
  if (event.data === 'take-over') void scope.skipWaiting();
});
