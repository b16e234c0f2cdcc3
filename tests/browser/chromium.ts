import { mkdirSync, mkdtempSync, readFileSync, readlinkSync, rmSync, writeFileSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { type BrowserContext, chromium, type Page } from 'playwright-core';
import { dist } from '../../src/commands/prepare.mjs';
import { serve } from '../../src/commands/serve.mjs';
import { type Played, scriptMicrophone } from './microphone';
import { familyOf, left } from './processes';
import { sayWith, type Voice } from './voices';

export interface KioskOptions {
  /** 'script': tests play into it. 'file': one recording. 'denied': refused. 'none': no such device. */
  microphone: 'script' | 'file' | 'denied' | 'none';
  /** For 'file': 16-bit PCM at 16, 44.1 or 48 kHz; anything else is silence to Chromium. */
  recording?: string;
  size?: { width: number; height: number };
  /** Paths that answer 404. */
  missing?: RegExp;
  /** Settings of the site, in place of the file's. */
  site?: object;
  /** Another folder than the built app. */
  folder?: string;
  /** true: the page may keep its copy for work without a server. */
  copy?: boolean;
}

export interface Kiosk {
  page: Page;
  address: string;
  profileDir: string;
  /** Whatever was asked for outside our own origin, by the page or by the browser itself. */
  outside: string[];
  /** Errors on the console and uncaught ones. */
  errors: string[];
  /** Speaks into the scripted microphone; resolves when the last sound is out. */
  say(text: string, voice?: Voice): Promise<Played>;
  /** Kills the browser as a power cut would. */
  crash(): Promise<void>;
  /** Starts the browser again on the same profile, after `crash`. */
  reopen(): Promise<void>;
  /** The server of the app goes away. */
  unplug(): Promise<void>;
  /** Throws if anything was asked for outside our origin. */
  close(): Promise<void>;
}

export const executablePath = process.env.CHROMIUM ?? '/usr/bin/chromium';

/**
 * What the browser itself would ask its maker; a kiosk switches these off by policy. The last such flag counts,
 * so the driver's own list is repeated here as far as it matters.
 */
const browserTalk = [
  'AutofillServerCommunication',
  'DestroyProfileOnBrowserClose',
  'HttpsUpgrades',
  'LensOverlay',
  'MediaRouter',
  'NetworkTimeServiceQuerying',
  'OptimizationHints',
  'PaintHolding',
  'PreconnectToSearch',
  'Translate',
];

function flags(options: KioskOptions, proxy: number): string[] {
  const list = [
    '--no-sandbox',
    '--disable-gpu',
    '--disable-quic',
    '--no-first-run',
    '--disable-background-networking',
    '--disable-component-update',
    '--disable-sync',
    '--disable-default-apps',
    `--disable-features=${browserTalk.join(',')}`,
    '--autoplay-policy=no-user-gesture-required',
    // Everything but loopback goes to a listener that writes it down and hangs up.
    `--proxy-server=http://127.0.0.1:${proxy}`,
  ];
  if (options.microphone === 'script' || options.microphone === 'file') {
    list.push('--use-fake-device-for-media-stream', '--use-fake-ui-for-media-stream');
  }
  if (options.microphone === 'denied') list.push('--use-fake-device-for-media-stream');
  if (options.microphone === 'none') list.push('--disable-audio-input', '--use-fake-ui-for-media-stream');
  if (options.microphone === 'file') {
    if (!options.recording) throw new Error("microphone 'file' needs a recording");
    list.push(`--use-file-for-fake-audio-capture=${options.recording}%noloop`);
  }
  return list;
}

/** What Chromium asks for by itself, whatever page is open. A page's own requests are noted by the page as well. */
const errand = /^[A-Z]+ (http:\/\/)?(update\.googleapis\.com|accounts\.google\.com)[:/]/;

async function listenForOutside(outside: string[]) {
  const server = createServer((socket) => {
    socket.on('error', () => {});
    socket.once('data', (bytes) => {
      const [line = ''] = bytes.toString('latin1').split('\r\n', 1);
      if (!errand.test(line)) outside.push(line);
      socket.end('HTTP/1.1 403 Forbidden\r\nContent-Length: 0\r\nConnection: close\r\n\r\n');
    });
  });
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  return { port: (server.address() as AddressInfo).port, close: () => server.close() };
}

/** Opens the built app in a real Chromium, on a profile of its own and without any network. */
export async function openKiosk(options: KioskOptions): Promise<Kiosk> {
  const server = await serve({ folder: options.folder ?? dist, port: 0 });
  const profileDir = mkdtempSync(join(tmpdir(), 'ownwords-profile-'));
  // As by the policies PasswordManagerEnabled and PasswordLeakDetectionEnabled: else it asks its maker about secrets.
  const preferences = {
    credentials_enable_service: false,
    profile: { password_manager_leak_detection: false },
  };
  mkdirSync(join(profileDir, 'Default'));
  writeFileSync(join(profileDir, 'Default', 'Preferences'), JSON.stringify(preferences));
  const outside: string[] = [];
  const errors: string[] = [];
  const proxy = await listenForOutside(outside);
  const { address } = server;
  let context: BrowserContext;

  async function open(): Promise<Page> {
    context = await chromium.launchPersistentContext(profileDir, {
      executablePath,
      args: flags(options, proxy.port),
      viewport: options.size ?? { width: 1080, height: 1920 },
      acceptDownloads: true,
      // A copy of the whole app in each new profile would only cost time.
      serviceWorkers: options.copy ? 'allow' : 'block',
      locale: 'en-US',
      timeout: 60_000,
    });
    if (options.microphone !== 'denied') {
      await context.grantPermissions(['microphone'], { origin: address });
    }
    // tsx marks the names of functions through a helper that pages do not have.
    await context.addInitScript('globalThis.__name ??= (value) => value;');
    if (options.microphone === 'script') await context.addInitScript(scriptMicrophone);
    context.on('request', (request) => {
      const { protocol, origin } = new URL(request.url());
      if (/^(https?|wss?):$/.test(protocol) && origin !== address) outside.push(request.url());
    });
    if (options.site) await context.route('**/site.json', (route) => route.fulfill({ json: options.site }));
    if (options.missing) await context.route(options.missing, (route) => route.fulfill({ status: 404 }));
    const page = context.pages()[0] ?? (await context.newPage());
    page.on('console', (message) => {
      if (message.type() === 'error') errors.push(`${message.text()} (${message.location().url})`);
    });
    page.on('pageerror', (error) => errors.push(String(error)));
    // Twice what a machine takes that does something else besides.
    page.setDefaultTimeout(60_000);
    await page.goto(address);
    return page;
  }

  const kiosk: Kiosk = {
    page: await open(),
    address,
    profileDir,
    outside,
    errors,
    async say(text, voice = 'slt') {
      const wav = readFileSync(sayWith(voice, text)).toString('base64');
      return kiosk.page.evaluate((bytes) => {
        if (!window.scriptedMicrophone) throw new Error('the microphone of this kiosk is not scripted');
        return window.scriptedMicrophone.play(bytes);
      }, wav);
    },
    async crash() {
      const gone = new Promise((done) => context.once('close', done));
      const family = familyOf(profileDir);
      const socket = readlinkSync(join(profileDir, 'SingletonSocket'));
      process.kill(family[0], 'SIGKILL');
      await gone;
      // Those that it has started notice only now, and tidy their files as they go.
      for (const end = Date.now() + 60_000; left(family).length > 0; await delay(20))
        if (Date.now() > end)
          throw new Error(`still there after a minute: process ${left(family).join(', ')}`);
      // It lies beside the profile, and nobody else clears it away.
      rmSync(dirname(socket), { recursive: true, force: true });
    },
    async reopen() {
      kiosk.page = await open();
    },
    unplug: server.close,
    async close() {
      await context.close();
      await server.close();
      proxy.close();
      rmSync(profileDir, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
      if (outside.length > 0) throw new Error(`asked for outside our origin:\n${outside.join('\n')}`);
    },
  };
  return kiosk;
}

/** Opens one for as long as the work takes. */
export async function withKiosk(options: KioskOptions, work: (kiosk: Kiosk) => Promise<void>): Promise<void> {
  const kiosk = await openKiosk(options);
  try {
    await work(kiosk);
  } finally {
    await kiosk.close();
  }
}
