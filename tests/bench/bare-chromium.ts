import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { serve } from '../../src/commands/serve.mjs';
import { openPipe } from '../browser/pipe';

export interface BareChromium {
  profileDir: string;
  /** Runs a function in the page, by itself: it sees nothing but its argument. Resolves when its promise does. */
  evaluate<A, R>(run: (given: A) => R | Promise<R>, given: A): Promise<R>;
  close(): Promise<void>;
}

/**
 * Chromium on a built page, for measuring its memory. Nobody watches its network: the driver of the tests does, and
 * so keeps copies of all that is loaded in the very process that is measured.
 */
export async function openBare(folder: string, initScript: () => void): Promise<BareChromium> {
  const server = await serve({ folder, port: 0 });
  const profileDir = mkdtempSync(join(tmpdir(), 'ownwords-bare-'));
  const browser = spawn(
    process.env.CHROMIUM ?? '/usr/bin/chromium',
    [
      '--headless',
      '--no-sandbox',
      '--disable-gpu',
      '--no-first-run',
      '--disable-background-networking',
      '--disable-component-update',
      '--autoplay-policy=no-user-gesture-required',
      '--remote-debugging-pipe',
      `--user-data-dir=${profileDir}`,
      'about:blank',
    ],
    { stdio: ['ignore', 'ignore', 'ignore', 'pipe', 'pipe'] },
  );
  const pipe = openPipe(browser);
  const sessionId = (await pipe.attach('about:blank'))!;
  const evaluate = <A, R>(run: (given: A) => R | Promise<R>, given: A): Promise<R> =>
    pipe.evaluate<R>(sessionId, `(${run})(${JSON.stringify(given)})`);
  await pipe.send('Page.enable', {}, sessionId);
  // tsx marks the names of functions through a helper that pages do not have.
  const source = `globalThis.__name ??= (value) => value; (${initScript})();`;
  await pipe.send('Page.addScriptToEvaluateOnNewDocument', { source }, sessionId);
  await pipe.send('Page.navigate', { url: server.address }, sessionId);
  for (const until = Date.now() + 10_000; ; ) {
    if (await evaluate(() => document.readyState === 'complete', undefined)) break;
    if (Date.now() > until) throw new Error(`${server.address} did not load`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  return {
    profileDir,
    evaluate,
    async close() {
      await pipe.send('Browser.close').catch(() => {});
      await pipe.gone;
      await server.close();
      rmSync(profileDir, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
    },
  };
}
