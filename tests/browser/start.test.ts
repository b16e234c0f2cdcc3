import { type ChildProcess, spawn } from 'node:child_process';
import type { AddressInfo } from 'node:net';
import { createServer } from 'node:net';
import { fileURLToPath } from 'node:url';
import { afterEach, expect, test } from 'vitest';

const start = fileURLToPath(new URL('../../src/commands/start.mjs', import.meta.url));

async function freePort() {
  const server = createServer();
  await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
  const { port } = server.address() as AddressInfo;
  await new Promise((done) => server.close(done));
  return port;
}

let child: ChildProcess | undefined;
afterEach(() => child?.kill('SIGKILL'));

async function runOnce(port: number) {
  // A proxy that nobody answers: once installed, starting needs no network.
  const env = {
    ...process.env,
    PORT: String(port),
    HTTPS_PROXY: 'http://127.0.0.1:9',
    HTTP_PROXY: 'http://127.0.0.1:9',
  };
  const running = spawn(process.execPath, [start], { env, stdio: ['ignore', 'pipe', 'inherit'] });
  child = running;
  let printed = '';
  await new Promise<void>((done, fail) => {
    running.stdout.on('data', (bytes) => {
      printed += bytes;
      if (printed.includes('Ctrl-C')) done();
    });
    running.once('exit', (code) => fail(new Error(`ended with ${code} before it served: ${printed}`)));
  });
  expect(printed).toContain(`http://localhost:${port}`);
  const page = await fetch(`http://localhost:${port}/`);
  expect(page.status).toBe(200);
  expect(await page.text()).toContain('<title>');
  const ended = new Promise((done) => running.once('exit', (code, signal) => done(code ?? signal)));
  running.kill('SIGINT');
  expect(await ended).toBe(0);
}

test('npm start serves the built app, ends on Ctrl-C, and does so twice in a row on the same port', async () => {
  const port = await freePort();
  await runOnce(port);
  await runOnce(port);
});
