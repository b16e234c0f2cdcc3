import { mkdirSync, mkdtempSync, readFileSync, readlinkSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { type BrowserContext, chromium, type Page } from 'playwright-core';
import { dist } from '../../src/commands/prepare.mjs';
import { serve } from '../../src/commands/serve.mjs';
import { contextOptions, executablePath, flags, listenForOutside, sharedBrowser } from './browser';
import { type Played, scriptMicrophone } from './microphone';
import { familyOf, left } from './processes';
import { sayWith, type Voice } from './voices';

export interface KioskOptions {
  /** 'script': tests play into it. 'denied': refused. 'none': no such device. */
  microphone: 'script' | 'denied' | 'none';
  size?: { width: number; height: number };
  /** Paths that answer 404. */
  missing?: RegExp;
  /** Settings of the site, in place of the file's. */
  site?: object;
  /** Another folder than the built app. */
  folder?: string;
}

export interface DeviceOptions extends Omit<KioskOptions, 'microphone'> {
  /** 'file': one recording. */
  microphone: KioskOptions['microphone'] | 'file';
  /** For 'file': 16-bit PCM at 16, 44.1 or 48 kHz; anything else is silence to Chromium. */
  recording?: string;
  /** true: the page may keep its copy for work without a server. */
  copy?: boolean;
}

export interface Kiosk {
  page: Page;
  address: string;
  /** Whatever was asked for outside our own origin, by the page or by the browser itself. */
  outside: string[];
  /** Errors on the console and uncaught ones. */
  errors: string[];
  /** Speaks into the scripted microphone; resolves when the last sound is out. */
  say(text: string, voice?: Voice): Promise<Played>;
  /** The server of the app goes away. */
  unplug(): Promise<void>;
  /** Throws if anything was asked for outside our origin. */
  close(): Promise<void>;
}

/** A kiosk with a browser and a profile on the disk of its own. */
export interface Device extends Kiosk {
  profileDir: string;
  /** Kills the browser as a power cut would. */
  crash(): Promise<void>;
  /** Starts the browser again on the same profile, after `crash`. */
  reopen(): Promise<void>;
}

/** The app in a context of a browser. */
async function show(
  context: BrowserContext,
  options: DeviceOptions,
  { address, outside, errors }: Pick<Kiosk, 'address' | 'outside' | 'errors'>,
): Promise<Page> {
  if (options.microphone !== 'denied') await context.grantPermissions(['microphone'], { origin: address });
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

async function say(page: Page, text: string, voice: Voice): Promise<Played> {
  const wav = readFileSync(sayWith(voice, text)).toString('base64');
  return page.evaluate((bytes) => {
    if (!window.scriptedMicrophone) throw new Error('the microphone of this kiosk is not scripted');
    return window.scriptedMicrophone.play(bytes);
  }, wav);
}

function mustBeEmpty(outside: readonly string[]) {
  if (outside.length > 0) throw new Error(`asked for outside our origin:\n${outside.join('\n')}`);
}

/**
 * Opens the built app in a real Chromium and without any network. What it stores is its own; the browser itself is
 * that of other kiosks before and after it.
 */
export async function openKiosk(options: KioskOptions): Promise<Kiosk> {
  const server = await serve({ folder: options.folder ?? dist, port: 0 });
  const { address } = server;
  const outside: string[] = [];
  const errors: string[] = [];
  const { browser, note } = await sharedBrowser(options.microphone);
  const unnote = note(outside);
  // A copy of the whole app for each would only cost time.
  const context = await browser.newContext({ ...contextOptions(options.size), serviceWorkers: 'block' });
  const kiosk: Kiosk = {
    page: await show(context, options, { address, outside, errors }),
    address,
    outside,
    errors,
    say: (text, voice = 'slt') => say(kiosk.page, text, voice),
    unplug: server.close,
    async close() {
      await context.close();
      await server.close();
      unnote();
      mustBeEmpty(outside);
    },
  };
  return kiosk;
}

/** Opens the built app in a Chromium with a profile of its own, as on a device, and without any network. */
export async function openDevice(options: DeviceOptions): Promise<Device> {
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
  const proxy = await listenForOutside((line) => outside.push(line));
  const { address } = server;
  let context: BrowserContext;

  async function open(): Promise<Page> {
    context = await chromium.launchPersistentContext(profileDir, {
      ...contextOptions(options.size),
      executablePath,
      args: flags(options.microphone, proxy.port, options.recording),
      // A copy of the whole app in each new profile would only cost time.
      serviceWorkers: options.copy ? 'allow' : 'block',
      timeout: 60_000,
    });
    return show(context, options, { address, outside, errors });
  }

  const device: Device = {
    page: await open(),
    address,
    profileDir,
    outside,
    errors,
    say: (text, voice = 'slt') => say(device.page, text, voice),
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
      device.page = await open();
    },
    unplug: server.close,
    async close() {
      await context.close();
      await server.close();
      proxy.close();
      rmSync(profileDir, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
      mustBeEmpty(outside);
    },
  };
  return device;
}

/** Works with what was opened, and closes it whatever comes. */
export async function whileOpen<T extends Kiosk>(
  opening: Promise<T>,
  work: (kiosk: T) => Promise<void>,
): Promise<void> {
  const kiosk = await opening;
  try {
    await work(kiosk);
  } finally {
    await kiosk.close();
  }
}
