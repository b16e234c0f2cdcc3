import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { Readable, Writable } from 'node:stream';
import { serve } from '../../src/commands/serve.mjs';

export interface BareChromium {
  profileDir: string;
  /** Runs a function in the page, by itself: it sees nothing but its argument. Resolves when its promise does. */
  evaluate<A, R>(run: (given: A) => R | Promise<R>, given: A): Promise<R>;
  close(): Promise<void>;
}

/**
 * Chromium on a built page, for measuring its memory. Nobody watches its network: the driver of the tests does, and
 * so keeps copies of all that is loaded in the very process that is measured. Speaks the DevTools protocol through a
 * pipe, a message at a time, each ended by a zero byte.
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
  const to = browser.stdio[3] as Writable;
  const from = browser.stdio[4] as Readable;
  const waiting = new Map<number, { resolve: (result: never) => void; reject: (error: Error) => void }>();
  const gone = new Promise<void>((resolve) => browser.once('exit', () => resolve()));
  void gone.then(() => {
    for (const { reject } of waiting.values()) reject(new Error('Chromium ended'));
  });
  let rest = '';
  from.setEncoding('utf8').on('data', (text: string) => {
    const messages = (rest + text).split('\0');
    rest = messages.pop()!;
    for (const message of messages) {
      const { id, result, error } = JSON.parse(message);
      if (error) waiting.get(id)?.reject(new Error(error.message));
      else waiting.get(id)?.resolve(result as never);
      waiting.delete(id);
    }
  });
  let last = 0;
  const send = <R>(method: string, params: object = {}, sessionId?: string): Promise<R> =>
    new Promise<R>((resolve, reject) => {
      waiting.set(++last, { resolve, reject });
      to.write(`${JSON.stringify({ id: last, method, params, sessionId })}\0`);
    });

  const { targetInfos } = await send<{ targetInfos: { type: string; targetId: string }[] }>(
    'Target.getTargets',
  );
  const { targetId } = targetInfos.find(({ type }) => type === 'page')!;
  const { sessionId } = await send<{ sessionId: string }>('Target.attachToTarget', {
    targetId,
    flatten: true,
  });
  const evaluate = async <A, R>(run: (given: A) => R | Promise<R>, given: A): Promise<R> => {
    const { result, exceptionDetails } = await send<{
      result: { value: R };
      exceptionDetails?: { text: string; exception?: { description?: string } };
    }>(
      'Runtime.evaluate',
      { expression: `(${run})(${JSON.stringify(given)})`, awaitPromise: true, returnByValue: true },
      sessionId,
    );
    if (exceptionDetails) throw new Error(exceptionDetails.exception?.description ?? exceptionDetails.text);
    return result.value;
  };
  await send('Page.enable', {}, sessionId);
  // tsx marks the names of functions through a helper that pages do not have.
  const source = `globalThis.__name ??= (value) => value; (${initScript})();`;
  await send('Page.addScriptToEvaluateOnNewDocument', { source }, sessionId);
  await send('Page.navigate', { url: server.address }, sessionId);
  for (const until = Date.now() + 10_000; ; ) {
    if (await evaluate(() => document.readyState === 'complete', undefined)) break;
    if (Date.now() > until) throw new Error(`${server.address} did not load`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
  return {
    profileDir,
    evaluate,
    async close() {
      await send('Browser.close').catch(() => {});
      await gone;
      await server.close();
      rmSync(profileDir, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
    },
  };
}
