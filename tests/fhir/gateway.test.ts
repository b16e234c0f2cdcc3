import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import * as tls from 'node:tls';
import { afterAll, beforeAll, expect, test } from 'vitest';
import { headers } from '../../src/commands/serve.mjs';
import { Client } from '../../src/fhir/client';
import { FiledNotes } from '../../src/fhir/filed';
import { wholeVisit } from '../records/fixtures';
import { skipped } from '../skipped';
import { makeCertificates } from './certificates';
import { type Gateway, kioskName, lacking, recordsName, startGateway, tunnelTo } from './gateway';
import { everything, type FhirServer, startServer } from './server';
import { makeWorld, patientSystem, register, store } from './world';

/* src/fhir/gateway.nginx.conf in a real nginx, with TLS on both sides, before a real FHIR router. */

if (lacking) test.skip(`the gateway${skipped(lacking)}`, () => {});
else {
  const folder = mkdtempSync(join(tmpdir(), 'ownwords-served-'));
  let server: FhirServer;
  let gateway: Gateway;
  let tunnel: Awaited<ReturnType<typeof tunnelTo>>;
  let address = '';

  beforeAll(async () => {
    mkdirSync(join(folder, 'assets'));
    writeFileSync(join(folder, 'index.html'), '<title>Kiosk</title>');
    writeFileSync(join(folder, 'assets', 'a-1.js'), '1');
    writeFileSync(join(folder, '.secret'), 'x');
    server = await startServer(everything);
    await register(server, 'A-19');
    gateway = await startGateway({ folder, records: Number(new URL(server.address).port) });
    tunnel = await tunnelTo(gateway);
    address = tunnel.address;
  });
  afterAll(async () => {
    tunnel.close();
    await gateway.close();
    await server.close();
    rmSync(folder, { recursive: true });
  });

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
    expect(readFileSync(join(gateway.home, 'access.log'), 'utf8')).not.toContain('fhir');
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

  test('the gateway sends nothing to a record server that shows another name, or is vouched for by nobody', async () => {
    const metadata = async () => (await fetch(`${address}/fhir/metadata`)).status;
    expect(await metadata()).toBe(200);
    const before = server.asked.length;
    gateway.showRecords(gateway.certificates.of('records.elsewhere.example'));
    expect(await metadata()).toBe(502);
    const strangers = mkdtempSync(join(gateway.home, 'strangers-'));
    gateway.showRecords(makeCertificates(strangers).of(recordsName));
    expect(await metadata()).toBe(502);
    expect(server.asked).toHaveLength(before);
    gateway.showRecords(gateway.certificates.of(recordsName));
    expect(await metadata()).toBe(200);
  });

  test('the gateway speaks TLS 1.2 or newer and nothing else', async () => {
    const agreed = (version?: tls.SecureVersion) =>
      new Promise<string | null>((done) => {
        const socket = tls.connect({
          ...{ port: gateway.port, host: '127.0.0.1', servername: kioskName },
          ca: gateway.certificates.authority.text,
          // Our own side has to be willing, or it is not the gateway that says no.
          ...(version && { minVersion: version, maxVersion: version, ciphers: 'DEFAULT@SECLEVEL=0' }),
        });
        socket.once('secureConnect', () => {
          done(socket.getProtocol());
          socket.destroy();
        });
        socket.once('error', () => done(null));
      });
    expect(await agreed()).toBe('TLSv1.3');
    expect(await agreed('TLSv1.2')).toBe('TLSv1.2');
    expect(await agreed('TLSv1.1')).toBeNull();
    const plain = await fetch(`http://127.0.0.1:${gateway.port}/`);
    expect(plain.status).toBe(400);
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
