import { readFileSync, readlinkSync, rmSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { setTimeout as delay } from 'node:timers/promises';
import { type BrowserContext, chromium, type Page } from 'playwright-core';
import { dist } from '../../src/commands/prepare.mjs';
import { serve } from '../../src/commands/serve.mjs';
import {
  contextOptions,
  executablePath,
  flags,
  listenForOutside,
  type MicrophoneKind,
  newProfile,
  readyPages,
} from './browser';
import type { Played } from './microphone';
import { familyOf, left } from './processes';
import { borrow } from './shared';
import { sayWith, type Voice } from './voices';

export interface KioskOptions {
  /** 'script': tests play into it. 'none': no such device. */
  microphone: 'script' | 'none';
  size?: { width: number; height: number };
  /** Paths that answer 404. */
  missing?: RegExp;
  /** Settings of the site, in place of the file's. */
  site?: object;
  /** What is done to the page before it has the app. */
  beforehand?: (page: Page) => Promise<unknown>;
  /** Another folder than the built app. */
  folder?: string;
}

export interface DeviceOptions extends Omit<KioskOptions, 'microphone'> {
  /** 'denied': refused. 'file': one recording. */
  microphone: MicrophoneKind;
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
  /** Throws if anything was asked for outside our origin. */
  close(): Promise<void>;
}

/** A kiosk with a browser and a profile on the disk of its own. */
export interface Device extends Kiosk {
  profileDir: string;
  /** The server of the app goes away. */
  unplug(): Promise<void>;
  /** Kills the browser as a power cut would. */
  crash(): Promise<void>;
  /** Starts the browser again on the same profile, after `crash`. */
  reopen(): Promise<void>;
}

/** The app in a page. */
async function show(
  context: BrowserContext,
  page: Page,
  options: DeviceOptions,
  { address, outside, errors }: Pick<Kiosk, 'address' | 'outside' | 'errors'>,
): Promise<void> {
  context.on('request', (request) => {
    const { protocol, origin } = new URL(request.url());
    if (/^(https?|wss?):$/.test(protocol) && origin !== address) outside.push(request.url());
  });
  if (options.site) await context.route('**/site.json', (route) => route.fulfill({ json: options.site }));
  if (options.missing) await context.route(options.missing, (route) => route.fulfill({ status: 404 }));
  page.on('console', (message) => {
    if (message.type() === 'error') errors.push(`${message.text()} (${message.location().url})`);
  });
  page.on('pageerror', (error) => errors.push(String(error)));
  // Twice what a machine takes that does something else besides.
  page.setDefaultTimeout(60_000);
  await options.beforehand?.(page);
  await page.goto(address);
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
 * Opens the built app in a real Chromium and without any network. It finds nothing stored; the browser is that of the
 * kiosks before and after it.
 */
export async function openKiosk(options: KioskOptions): Promise<Kiosk> {
  const outside: string[] = [];
  const errors: string[] = [];
  const { context, page, address, giveBack } = await borrow(
    options.microphone,
    options.folder ?? dist,
    outside,
  );
  try {
    if (options.size) await page.setViewportSize(options.size);
    await show(context, page, options, { address, outside, errors });
  } catch (error) {
    await giveBack();
    throw error;
  }
  return {
    page,
    address,
    outside,
    errors,
    say: (text, voice = 'slt') => say(page, text, voice),
    async close() {
      await giveBack();
      mustBeEmpty(outside);
    },
  };
}

/** Opens the built app in a Chromium with a profile of its own, as on a device, and without any network. */
export async function openDevice(options: DeviceOptions): Promise<Device> {
  const server = await serve({ folder: options.folder ?? dist, port: 0 });
  const profileDir = newProfile();
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
    if (options.microphone !== 'denied') await context.grantPermissions(['microphone'], { origin: address });
    await readyPages(context, options.microphone);
    const page = context.pages()[0] ?? (await context.newPage());
    await show(context, page, options, { address, outside, errors });
    return page;
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
