import { type BrowserContext, chromium, type Page } from 'playwright-core';
import { serve } from '../../src/commands/serve.mjs';
import { contextOptions, executablePath, flags, listenForOutside, newProfile, readyPages } from './browser';
import { scriptMicrophone } from './microphone';

/*
 * A browser for the kiosks of one process, one after the other, at one address: most of what a new one takes is to read
 * and compile what the one before had compiled. Each gets a page of its own and finds nothing stored.
 */

interface Shared {
  context: BrowserContext;
  /** A browser without a page ends. */
  keeper: Page;
  outside: Set<string[]>;
  busy: boolean;
}

let browser: Promise<Shared> | null = null;
const addresses = new Map<string, Promise<string>>();

async function begin(): Promise<Shared> {
  const outside = new Set<string[]>();
  const proxy = await listenForOutside((line) => {
    for (const list of outside) list.push(line);
  });
  // It ends by itself when this process is gone, which the driver would hold up; its files go with those of the run.
  const context = await chromium.launchPersistentContext(newProfile(), {
    ...contextOptions(),
    executablePath,
    // A scripted microphone asks the browser for nothing.
    args: flags('none', proxy.port),
    serviceWorkers: 'block',
    handleSIGTERM: false,
    timeout: 60_000,
  });
  await readyPages(context, 'none');
  return { context, keeper: context.pages()[0] ?? (await context.newPage()), outside, busy: false };
}

/** The same for as long as the process lives. */
function addressOf(folder: string): Promise<string> {
  const address = addresses.get(folder) ?? serve({ folder, port: 0 }).then((server) => server.address);
  addresses.set(folder, address);
  return address;
}

export interface Lent {
  context: BrowserContext;
  page: Page;
  address: string;
  /** Closes all pages, and takes back what was asked of the browser. */
  giveBack(): Promise<void>;
}

/** A page of the shared browser with that microphone, for a folder that is served; `outside` gets what is asked for elsewhere. */
export async function borrow(
  microphone: 'script' | 'none',
  folder: string,
  outside: string[],
): Promise<Lent> {
  browser ??= begin();
  const shared = await browser;
  if (shared.busy) throw new Error('the kiosk before is still open: this browser is lent to one at a time');
  shared.busy = true;
  const { context, keeper } = shared;
  const page = await context.newPage();
  // A test that held the clock held it for all pages to come, and there is no way to let it go.
  if (await page.evaluate(() => '__pwClock' in globalThis)) {
    browser = null;
    await context.close();
    return borrow(microphone, folder, outside);
  }
  if (microphone === 'script') await page.addInitScript(scriptMicrophone);
  shared.outside.add(outside);
  const address = await addressOf(folder);
  await context.grantPermissions(['microphone'], { origin: address });
  const tools = await context.newCDPSession(page);
  await tools.send('Storage.clearDataForOrigin', { origin: address, storageTypes: 'all' });
  await tools.detach();
  return {
    context,
    page,
    address,
    async giveBack() {
      await Promise.all(context.pages().map((one) => (one === keeper ? undefined : one.close())));
      await context.unrouteAll({ behavior: 'ignoreErrors' });
      context.removeAllListeners('request');
      shared.outside.delete(outside);
      shared.busy = false;
    },
  };
}
