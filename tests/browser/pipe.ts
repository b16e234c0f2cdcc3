import type { ChildProcess } from 'node:child_process';
import type { Readable, Writable } from 'node:stream';

/**
 * The DevTools protocol through a pipe, a message at a time, each ended by a zero byte: for what the driver of the tests
 * would change by being there.
 * @param browser started with --remote-debugging-pipe, with pipes as its files 3 and 4
 */
export function openPipe(browser: ChildProcess) {
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
  return {
    send,
    /** Resolves when the browser has ended. */
    gone,
    /** @returns the session with the first page whose address begins so; undefined when there is none */
    async attach(address: string): Promise<string | undefined> {
      type Targets = { targetInfos: { type: string; targetId: string; url: string }[] };
      const { targetInfos } = await send<Targets>('Target.getTargets');
      const page = targetInfos.find(({ type, url }) => type === 'page' && url.startsWith(address));
      if (!page) return undefined;
      const params = { targetId: page.targetId, flatten: true };
      return (await send<{ sessionId: string }>('Target.attachToTarget', params)).sessionId;
    },
    /** @returns what the expression is, or what its promise resolves to; throws what it throws */
    async evaluate<R>(
      sessionId: string,
      expression: string,
      options: { userGesture?: boolean } = {},
    ): Promise<R> {
      const { result, exceptionDetails } = await send<{
        result: { value: R };
        exceptionDetails?: { text: string; exception?: { description?: string } };
      }>('Runtime.evaluate', { expression, awaitPromise: true, returnByValue: true, ...options }, sessionId);
      if (exceptionDetails) throw new Error(exceptionDetails.exception?.description ?? exceptionDetails.text);
      return result.value;
    },
  };
}
