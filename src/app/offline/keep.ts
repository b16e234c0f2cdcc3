import type { AppVersion, OfflineNews } from './files';

/** How far the copy is by which the kiosk works without a server. */
export interface OfflineState {
  /** 'none': this browser, or this way of serving, keeps none. */
  copy: 'none' | 'storing' | 'whole' | 'broken';
  /** Files stored of all, while storing. */
  stored: number;
  files: number;
  /** A newer copy is whole and waits for the end of a visit. */
  waiting: boolean;
  /** Of what is on the screen; empty: not known. */
  version: string;
  /** For staff; empty: nothing. */
  problem: string;
}

/** What a page needs of the browser; given in tests. */
export interface Browser {
  register(): Promise<ServiceWorkerRegistration | undefined>;
  container: Pick<ServiceWorkerContainer, 'controller' | 'addEventListener'>;
  version(): Promise<AppVersion>;
  reload(): void;
  every(ms: number, act: () => void): void;
}

const hour = 3_600_000;

/** One page's view of the copy. It takes up a newer one only while `idle` says that nobody is in a visit. */
export class Offline {
  #state: OfflineState = { copy: 'none', stored: 0, files: 0, waiting: false, version: '', problem: '' };
  readonly #listeners = new Set<() => void>();
  readonly #stored = new Set<string>();
  #registration: ServiceWorkerRegistration | null = null;
  /** A newer copy has taken over, and this page is still of the older one. */
  #outdated = false;

  constructor(
    private readonly browser: Browser,
    private readonly idle: () => boolean,
  ) {}

  readonly subscribe = (listener: () => void): (() => void) => {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  };
  readonly state = (): OfflineState => this.#state;

  /** Never rejects: without a copy the kiosk works as long as its server does. */
  async start(): Promise<void> {
    const { browser } = this;
    const { container } = browser;
    const controlled = container.controller !== null;
    const about = await browser.version().catch(() => null);
    this.#set({ version: about?.version ?? '', files: about?.files ?? 0 });
    container.addEventListener('message', (event) => this.#hear((event as MessageEvent<OfflineNews>).data));
    let first = !controlled;
    container.addEventListener('controllerchange', () => {
      if (first) first = false;
      else {
        this.#outdated = true;
        this.look();
      }
    });
    try {
      const registration = await browser.register();
      // A browser that is told to take none resolves with nothing.
      if (!registration) return;
      this.#registration = registration;
      registration.addEventListener('updatefound', () => this.#follow(registration.installing));
      this.#follow(registration.installing);
      if (registration.active) this.#set({ copy: 'whole' });
      this.#set({ waiting: registration.waiting !== null && controlled });
      browser.every(hour, () => void registration.update().catch(() => {}));
      // Often, because nothing tells when a visit is over for good.
      browser.every(5_000, () => this.look());
      this.look();
    } catch (error) {
      this.#set({
        copy: 'none',
        problem: `No copy for work without a server could be made (${(error as Error).message}).`,
      });
    }
  }

  /** Takes up a newer copy, if there is one and nobody is in a visit. */
  look(): void {
    if (!this.idle()) return;
    if (this.#outdated) this.browser.reload();
    else if (this.#state.waiting) this.#registration?.waiting?.postMessage('take-over');
  }

  #follow(worker: ServiceWorker | null): void {
    if (!worker) return;
    const update = this.#registration?.active != null;
    this.#stored.clear();
    if (!update) this.#set({ copy: 'storing', stored: 0 });
    worker.addEventListener('statechange', () => {
      if (worker.state === 'installed' && update) {
        this.#set({ waiting: true, problem: '' });
        this.look();
      } else if (worker.state === 'activated') this.#set({ copy: 'whole', waiting: false, problem: '' });
      else if (worker.state === 'redundant' && this.#state.copy === 'storing') this.#set({ copy: 'broken' });
    });
  }

  #hear(news: OfflineNews): void {
    if (news?.news === 'stored') {
      this.#stored.add(news.url);
      if (this.#state.copy === 'storing') this.#set({ stored: this.#stored.size });
    } else if (news?.news === 'failed') {
      const which = this.#registration?.active ? 'A newer version' : 'The copy for work without a server';
      this.#set({
        problem: `${which} is not whole: ${news.url} could not be fetched, or is not what was built (${news.why}). It is tried again within the hour.`,
      });
    }
  }

  #set(change: Partial<OfflineState>): void {
    this.#state = { ...this.#state, ...change };
    for (const listener of this.#listeners) listener();
  }
}

/** null: this page is not the built app, or its browser keeps no copies. */
export function thisBrowser(): Browser | null {
  if (!import.meta.env.PROD || !('serviceWorker' in navigator)) return null;
  return {
    container: navigator.serviceWorker,
    register: () => navigator.serviceWorker.register('/offline.js', { updateViaCache: 'none' }),
    version: async () => (await fetch('/version.json')).json() as Promise<AppVersion>,
    reload: () => location.reload(),
    every: (ms, act) => void setInterval(act, ms),
  };
}
