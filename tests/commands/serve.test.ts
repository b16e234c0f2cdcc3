import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { request } from 'node:http';
import { connect } from 'node:net';
import { networkInterfaces, tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { portIsFree, serve } from '../../src/commands/serve.mjs';

let above = '';
let folder = '';
let server: Awaited<ReturnType<typeof serve>>;

beforeAll(async () => {
  above = mkdtempSync(join(tmpdir(), 'ownwords-serve-'));
  writeFileSync(join(above, 'secret.txt'), 'not for the network');
  folder = join(above, 'dist');
  mkdirSync(folder);
  mkdirSync(join(folder, 'assets'));
  mkdirSync(join(folder, 'model'));
  writeFileSync(join(folder, 'index.html'), '<!doctype html><title>Page</title>');
  writeFileSync(join(folder, 'assets', 'app-1a2b3c.js'), 'export {};');
  writeFileSync(join(folder, 'assets', 'ear-1a2b3c.wasm'), Buffer.from([0, 97, 115, 109]));
  writeFileSync(join(folder, 'model', 'means'), 'x');
  writeFileSync(join(folder, 'model', 'voice.data'), 'x');
  writeFileSync(join(folder, '.built'), '');
  server = await serve({ folder, port: 0 });
});
afterAll(async () => {
  await server.close();
  rmSync(above, { recursive: true, force: true });
});

const get = (path: string, init?: RequestInit) => fetch(`http://127.0.0.1:${server.port}${path}`, init);

// Names and values: CSP Level 3, Permissions Policy, Referrer Policy (W3C), Fetch (WHATWG) for nosniff.
const strict: Record<string, RegExp> = {
  'content-security-policy': /^default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; style-src 'self';/,
  'permissions-policy': /^microphone=\(self\), on-device-speech-recognition=\(self\), camera=\(\)/,
  'x-content-type-options': /^nosniff$/,
  'referrer-policy': /^no-referrer$/,
};

describe('the server of the built app', () => {
  test('gives the page at its address', async () => {
    const answer = await get('/');
    expect(answer.status).toBe(200);
    expect(answer.headers.get('content-type')).toMatch(/^text\/html/);
    expect(await answer.text()).toContain('<title>Page</title>');
  });

  test.each(['/', '/assets/app-1a2b3c.js', '/assets/ear-1a2b3c.wasm', '/model/means', '/nowhere'])(
    'sends the protecting headers with %s',
    async (path) => {
      const answer = await get(path);
      for (const [name, value] of Object.entries(strict)) expect(answer.headers.get(name)).toMatch(value);
    },
  );

  test('lets no script in that is inline or from elsewhere', async () => {
    const policy = (await get('/')).headers.get('content-security-policy') ?? '';
    expect(policy).not.toMatch(/unsafe-inline|'unsafe-eval'|https?:|\*/);
    expect(policy).toContain("frame-ancestors 'none'");
  });

  // Sent as they are; fetch would tidy them up first.
  const raw = (path: string) =>
    new Promise<{ status: number; text: string }>((done, fail) => {
      request({ host: '127.0.0.1', port: server.port, path }, (answer) => {
        let text = '';
        answer.on('data', (bytes) => {
          text += bytes;
        });
        answer.on('end', () => done({ status: answer.statusCode ?? 0, text }));
      })
        .on('error', fail)
        .end();
    });

  test.each([
    '/nowhere',
    '/model/feature_transform',
    '/assets/gone.js',
    '/model/',
    '/.built',
    '/%2ebuilt',
    '/../secret.txt',
    '/%2e%2e/secret.txt',
    '/..%2fsecret.txt',
    '/model/..%5c..%5csecret.txt',
    '/%',
    '/%00',
  ])('answers 404 for %s, never the page', async (path) => {
    const { status, text } = await raw(path);
    expect(status).toBe(404);
    expect(text).toBe('Not found.\n');
  });

  test('goes on when a new build takes files away and brings others', async () => {
    writeFileSync(join(folder, 'assets', 'old-1.js'), 'export {};');
    expect((await get('/assets/old-1.js')).status).toBe(200);
    rmSync(join(folder, 'assets', 'old-1.js'));
    writeFileSync(join(folder, 'assets', 'new-2.js'), 'export {};');
    expect((await get('/assets/old-1.js')).status).toBe(404);
    expect((await get('/assets/new-2.js')).status).toBe(200);
  });

  test('still says 304 with the protecting headers when a file has not changed', async () => {
    const etag = (await get('/')).headers.get('etag') ?? '';
    const again = await get('/', { headers: { 'if-none-match': etag } });
    expect(again.status).toBe(304);
    expect(again.headers.get('content-security-policy')).toMatch(strict['content-security-policy']!);
  });

  test('names the types that a browser insists on', async () => {
    expect((await get('/assets/app-1a2b3c.js')).headers.get('content-type')).toMatch(/^text\/javascript/);
    expect((await get('/assets/ear-1a2b3c.wasm')).headers.get('content-type')).toBe('application/wasm');
    expect((await get('/model/means')).headers.get('content-type')).toBe('application/octet-stream');
    expect((await get('/model/voice.data')).headers.get('content-type')).toBe('application/octet-stream');
  });

  test('lets hashed files be kept and has everything else asked for again', async () => {
    expect((await get('/assets/app-1a2b3c.js')).headers.get('cache-control')).toContain('immutable');
    expect((await get('/')).headers.get('cache-control')).toBe('no-cache');
    expect((await get('/model/means')).headers.get('cache-control')).toBe('no-cache');
  });

  test('takes nothing but GET and HEAD', async () => {
    expect((await get('/', { method: 'POST', body: 'x' })).status).toBe(405);
    expect((await get('/', { method: 'HEAD' })).status).toBe(200);
  });

  test('cannot be reached by another address of this machine', async () => {
    const outer = Object.values(networkInterfaces())
      .flat()
      .find((net) => net && !net.internal && net.family === 'IPv4');
    if (!outer) return; // no network at all: nobody to reach us
    const reached = await new Promise((done) => {
      const socket = connect({ host: outer.address, port: server.port });
      socket.once('connect', () => {
        socket.destroy();
        done(true);
      });
      socket.once('error', () => done(false));
    });
    expect(reached).toBe(false);
  });

  test('tells a port in use from a free one', async () => {
    expect(await portIsFree(server.port)).toBe(false);
    await expect(serve({ folder, port: server.port })).rejects.toMatchObject({ code: 'EADDRINUSE' });
    const other = await serve({ folder, port: 0 });
    await other.close();
    expect(await portIsFree(other.port)).toBe(true);
  });
});
