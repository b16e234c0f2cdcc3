import { type ChildProcess, spawn } from 'node:child_process';
import { chmodSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { type AddressInfo, createServer } from 'node:net';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { headers } from '../../src/commands/serve.mjs';
import { Client } from '../../src/fhir/client';
import { FiledNotes } from '../../src/fhir/filed';
import { wholeVisit } from '../records/fixtures';
import { everything, type FhirServer, startServer } from './server';
import { makeWorld, patientSystem, register, store } from './world';

/*
 * src/fhir/gateway.nginx.conf in a real nginx, before a real FHIR router. What is marked there as to be filled in is filled in;
 * TLS is left out on both sides.
 */

const nginx = [...(process.env.PATH ?? '').split(delimiter), '/usr/sbin']
  .map((folder) => join(folder, 'nginx'))
  .find((path) => existsSync(path));

if (!nginx) test.skip('the gateway: nginx is not installed (Debian: apt-get install nginx-light)', () => {});
else {
  const program = nginx;
  const home = mkdtempSync(join(tmpdir(), 'ownwords-gateway-'));
  let server: FhirServer;
  let child: ChildProcess | undefined;
  let address = '';

  beforeAll(async () => {
    server = await startServer(everything);
    await register(server, 'A-19');
    const port = await freePort();
    address = `http://127.0.0.1:${port}`;
    // Its workers may be somebody else.
    chmodSync(home, 0o755);
    mkdirSync(join(home, 'dist', 'assets'), { recursive: true });
    writeFileSync(join(home, 'dist', 'index.html'), '<title>Kiosk</title>');
    writeFileSync(join(home, 'dist', 'assets', 'a-1.js'), '1');
    writeFileSync(join(home, 'dist', '.secret'), 'x');
    writeFileSync(join(home, 'kiosks.conf'), 'allow 127.0.0.1; deny all;');
    writeFileSync(join(home, 'secret.conf'), 'set $ownwords_authorization "Bearer of-the-gateway";');
    writeFileSync(join(home, 'gateway.conf'), filledIn(port, new URL(server.address).host));
    const temporary = ['client_body', 'proxy', 'fastcgi', 'uwsgi', 'scgi']
      .map((name) => `${name}_temp_path ${home}/${name};`)
      .join(' ');
    writeFileSync(
      join(home, 'nginx.conf'),
      `daemon off; worker_processes 1; pid ${home}/pid; error_log ${home}/error.log;
       events {}
       http { access_log ${home}/access.log; ${temporary} include gateway.conf; }`,
    );
    const running = spawn(
      program,
      ['-p', home, '-c', join(home, 'nginx.conf'), '-e', join(home, 'error.log')],
      {
        stdio: ['ignore', 'ignore', 'pipe'],
      },
    );
    child = running;
    let said = '';
    running.stderr.on('data', (bytes) => {
      said += bytes;
    });
    const ended = new Promise<never>((_done, fail) => {
      running.once('exit', (code) => fail(new Error(`nginx ended with ${code}: ${said}`)));
    });
    ended.catch(() => {});
    await Promise.race([answers(address), ended]);
  });
  afterAll(async () => {
    if (child?.exitCode === null) {
      const gone = new Promise((done) => child?.once('exit', done));
      child.kill('SIGTERM');
      await gone;
    }
    await server.close();
    rmSync(home, { recursive: true, force: true });
  });

  const filledIn = (port: number, upstream: string): string => {
    let text = readFileSync(new URL('../../src/fhir/gateway.nginx.conf', import.meta.url), 'utf8');
    const put = (from: RegExp, to: string) => {
      const found = new RegExp(from, 'gm');
      if (!found.test(text)) throw new Error(`src/fhir/gateway.nginx.conf has no ${from}`);
      text = text.replaceAll(found, to);
    };
    put(/server records\.hospital\.example:443;/, `server ${upstream};`);
    put(/listen 443 ssl;/, `listen 127.0.0.1:${port};`);
    put(/^ *ssl_certificate(_key)? .*$/, '');
    put(/\/srv\/ownwords\/dist/, `${home}/dist`);
    put(/\/etc\/nginx\/ownwords-kiosks\.conf/, `${home}/kiosks.conf`);
    put(/\/etc\/nginx\/ownwords-secret\.conf/, `${home}/secret.conf`);
    put(/^ *proxy_ssl_.*$/, '');
    put(/https:\/\/ownwords_records\/r4/, 'http://ownwords_records/fhir');
    return text;
  };

  const seenBy = (response: Response) =>
    Object.fromEntries(Object.keys(headers).map((name) => [name, response.headers.get(name)]));

  test('the gateway lets a whole visit through and signs in for the kiosk', async () => {
    const world = makeWorld({ address: `${address}/fhir` });
    await store(world, wholeVisit, '3f0c7a52-5a0e-4c57-9b1e-0d8f5f0a1c11', 'A-19');
    await world.outbox.wake();
    expect(world.view()).toMatchObject({ waiting: 0, held: 0, problem: '' });
    expect(server.repository.all('Procedure')).toHaveLength(1);
    expect(server.asked.map(({ method, url }) => `${method} ${url.split('?')[0]}`)).toContain('POST /');
    expect(new Set(server.asked.map(({ headers }) => headers.authorization))).toEqual(
      new Set(['Bearer of-the-gateway']),
    );
    // Numbers of patients stand in addresses.
    expect(readFileSync(join(home, 'access.log'), 'utf8')).not.toContain('fhir');
  });

  test('the gateway goes one by one where it has to, and hides a server that is down behind an answer', async () => {
    server.offers = { ...everything, transaction: false, updateCreate: false };
    const world = makeWorld({ address: `${address}/fhir` });
    await store(world, wholeVisit, '8d1b5a3e-0c4b-4f0e-8a57-6a4f3f1d2b22', 'A-19');
    server.faults = () => ({ at: 'after', how: 'lost' });
    await world.outbox.wake();
    expect(world.view().problem).toContain('502');
    server.faults = () => null;
    await world.settle();
    expect(world.view()).toMatchObject({ waiting: 0, held: 0 });
    expect(server.repository.all('Procedure')).toHaveLength(2);
  });

  test('a desk reads through the gateway what was filed: notes, patients and kiosks', async () => {
    server.offers = everything;
    const client = new Client({ address: `${address}/fhir`, fetch, now: Date.now });
    const { notes, done } = await new FiledNotes(client, patientSystem).more();
    expect(done).toBe(true);
    expect(notes.map(({ patient, number, kiosk }) => [patient, number, kiosk])).toEqual([
      ['Ines Marlow', 'A-19', 'Harbor 4'],
      ['Ines Marlow', 'A-19', 'Harbor 4'],
    ]);
    expect(notes[0]?.text).toContain('Ines Marlow');
  });

  test.each([
    ['GET', '/fhir/Condition', 404],
    ['GET', '/fhir/Patient/1', 404],
    ['GET', '/fhir/Patient/_search', 404],
    ['POST', '/fhir/Patient', 403],
    ['DELETE', '/fhir/Task/1', 403],
    ['GET', '/fhir/Task/1/_history', 404],
    ['GET', '/fhir/%2e%2e/secret', 404],
    ['GET', '/.secret', 404],
    ['POST', '/', 403],
  ])('the gateway does not forward %s %s', async (method, path, status) => {
    const before = server.asked.length;
    const answer = await fetch(address + path, { method });
    expect(answer.status).toBe(status);
    expect(server.asked).toHaveLength(before);
  });

  test('the gateway serves the kiosk under the same rules as npm start', async () => {
    for (const path of ['/', '/assets/a-1.js', '/nowhere', '/fhir/metadata', '/fhir/Condition']) {
      expect(seenBy(await fetch(address + path))).toEqual(headers);
    }
    const cache = async (path: string) => (await fetch(address + path)).headers.get('Cache-Control');
    expect(await cache('/')).toBe('no-cache');
    expect(await cache('/assets/a-1.js')).toContain('immutable');
    expect(await cache('/fhir/metadata')).toBe('no-store');
    expect(await (await fetch(address)).text()).toContain('Kiosk');
  });
}

function freePort(): Promise<number> {
  const probe = createServer();
  return new Promise((done) => {
    probe.listen(0, '127.0.0.1', () => {
      const { port } = probe.address() as AddressInfo;
      probe.close(() => done(port));
    });
  });
}

async function answers(address: string): Promise<void> {
  for (;;) {
    try {
      await fetch(address);
      return;
    } catch {
      await new Promise((done) => setTimeout(done, 50));
    }
  }
}
