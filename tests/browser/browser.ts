import { mkdirSync, mkdtempSync, writeFileSync } from 'node:fs';
import type { AddressInfo } from 'node:net';
import { createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { BrowserContext, BrowserContextOptions } from 'playwright-core';
import { scriptMicrophone } from './microphone';

export type MicrophoneKind = 'script' | 'file' | 'denied' | 'none';

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

/** Of a browser with this microphone, all of whose requests but those to itself go to a listener at `proxy`. */
export function flags(microphone: MicrophoneKind, proxy: number, recording?: string): string[] {
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
  if (microphone === 'none') list.push('--disable-audio-input', '--use-fake-ui-for-media-stream');
  // A scripted one asks the browser for nothing.
  else list.push('--use-fake-device-for-media-stream');
  if (microphone === 'file') {
    if (!recording) throw new Error("microphone 'file' needs a recording");
    list.push('--use-fake-ui-for-media-stream', `--use-file-for-fake-audio-capture=${recording}%noloop`);
  }
  return list;
}

/** What Chromium asks for by itself, whatever page is open. A page's own requests are noted by the page as well. */
const errand = /^[A-Z]+ (http:\/\/)?(update\.googleapis\.com|accounts\.google\.com)[:/]/;

/** Hears what leaves a browser for elsewhere, and hangs up on it. */
export async function listenForOutside(tell: (line: string) => void) {
  const server = createServer((socket) => {
    socket.on('error', () => {});
    socket.once('data', (bytes) => {
      const [line = ''] = bytes.toString('latin1').split('\r\n', 1);
      if (!errand.test(line)) tell(line);
      socket.end('HTTP/1.1 403 Forbidden\r\nContent-Length: 0\r\nConnection: close\r\n\r\n');
    });
  });
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  // It waits for nobody when all else is done.
  server.unref();
  return { port: (server.address() as AddressInfo).port, close: () => server.close() };
}

export const contextOptions = (size = { width: 1080, height: 1920 }): BrowserContextOptions => ({
  viewport: size,
  acceptDownloads: true,
  locale: 'en-US',
});

/** A profile for a browser, empty but for what a kiosk has by policy. */
export function newProfile(): string {
  const profileDir = mkdtempSync(join(tmpdir(), 'ownwords-profile-'));
  // As by PasswordManagerEnabled and PasswordLeakDetectionEnabled: else it asks its maker about secrets.
  const preferences = {
    credentials_enable_service: false,
    profile: { password_manager_leak_detection: false },
  };
  mkdirSync(join(profileDir, 'Default'));
  writeFileSync(join(profileDir, 'Default', 'Preferences'), JSON.stringify(preferences));
  return profileDir;
}

/** What all pages of a browser have before their own scripts run. */
export async function readyPages(context: BrowserContext, microphone: MicrophoneKind): Promise<void> {
  // tsx marks the names of functions through a helper that pages do not have.
  await context.addInitScript('globalThis.__name ??= (value) => value;');
  if (microphone === 'script') await context.addInitScript(scriptMicrophone);
}
