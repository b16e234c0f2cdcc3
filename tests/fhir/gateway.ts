import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { type AddressInfo, connect, createServer, type Server, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { delimiter, join } from 'node:path';
import * as tls from 'node:tls';
import { type Certificates, type Identity, makeCertificates } from './certificates';

/** Why there can be no gateway here; '' where there can. */
export const lacking = !nginx()
  ? 'nginx is not installed (Debian: apt-get install nginx-light)'
  : spawnSync('openssl', ['version']).error
    ? 'openssl is not installed (Debian: apt-get install openssl)'
    : '';

export const kioskName = 'kiosk.hospital.example';
export const recordsName = 'records.hospital.example';

export interface Gateway {
  /** With TLS, as `kioskName`, on this port of 127.0.0.1. */
  port: number;
  /** Its files: configuration, certificates, logs. */
  home: string;
  certificates: Certificates;
  /** What it shows. */
  kiosk: Identity;
  /** Another certificate before the FHIR server from now on. */
  showRecords(identity: Identity): void;
  close(): Promise<void>;
}

/**
 * src/fhir/gateway.nginx.conf in a real nginx, with TLS to both sides: what is marked there as to be filled in is
 * filled in.
 * @param given the folder that is served, and a FHIR server without TLS on 127.0.0.1
 */
export async function startGateway(given: { folder: string; records: number }): Promise<Gateway> {
  const home = mkdtempSync(join(tmpdir(), 'ownwords-gateway-'));
  const certificates = makeCertificates(home);
  const front = tls.createServer(certificates.of(recordsName), (inside) => {
    joinUp(inside, connect(given.records, '127.0.0.1'));
  });
  const upstream = await listens(front);
  const port = await freePort();

  let text = readFileSync(new URL('../../src/fhir/gateway.nginx.conf', import.meta.url), 'utf8');
  const put = (from: string, to: string) => {
    if (!text.includes(from)) throw new Error(`src/fhir/gateway.nginx.conf has no ${from}`);
    text = text.replaceAll(from, to);
  };
  const kiosk = certificates.of(kioskName);
  put('server records.hospital.example:443;', `server 127.0.0.1:${upstream};`);
  put('listen 443 ssl;', `listen 127.0.0.1:${port} ssl;`);
  put('/etc/nginx/tls/kiosk.crt', kiosk.files.certificate);
  put('/etc/nginx/tls/kiosk.key', kiosk.files.key);
  put('/etc/ssl/certs/ca-certificates.crt', certificates.authority.file);
  put('/srv/ownwords/dist', given.folder);
  put('/etc/nginx/ownwords-kiosks.conf', join(home, 'kiosks.conf'));
  put('/etc/nginx/ownwords-secret.conf', join(home, 'secret.conf'));
  put('ownwords_records/r4', 'ownwords_records/fhir');
  const temporary = ['client_body', 'proxy', 'fastcgi', 'uwsgi', 'scgi']
    .map((name) => `${name}_temp_path ${home}/${name};`)
    .join(' ');
  for (const [name, content] of [
    ['gateway.conf', text],
    ['kiosks.conf', 'allow 127.0.0.1; deny all;'],
    ['secret.conf', 'set $ownwords_authorization "Bearer of-the-gateway";'],
    [
      'nginx.conf',
      // Else root's nginx has workers that are somebody else, who may not read our folders.
      `${process.getuid?.() === 0 ? 'user root;' : ''} daemon off; worker_processes 1; pid ${home}/pid; error_log ${home}/error.log;
       events {}
       http { include ${mimeTypes}; default_type application/octet-stream; access_log ${home}/access.log; ${temporary} include gateway.conf; }`,
    ],
  ] as const)
    writeFileSync(join(home, name), content);

  const child = spawn(nginx()!, ['-p', home, '-c', join(home, 'nginx.conf'), '-e', join(home, 'error.log')], {
    stdio: ['ignore', 'ignore', 'pipe'],
  });
  let said = '';
  child.stderr.on('data', (bytes) => {
    said += bytes;
  });
  const gone = new Promise<number | null>((done) => child.once('exit', done));
  await Promise.race([
    accepts(port),
    gone.then((code) => {
      throw new Error(`nginx ended with ${code}: ${said}`);
    }),
  ]);

  return {
    port,
    home,
    certificates,
    kiosk,
    showRecords: (identity) => front.setSecureContext(identity),
    async close() {
      child.kill('SIGTERM');
      await gone;
      front.close();
      rmSync(home, { recursive: true, force: true });
    },
  };
}

/** A way to the gateway for what speaks no TLS itself or takes no authority of ours. Gives its address. */
export async function tunnelTo({ port, certificates }: Gateway): Promise<{ address: string; close(): void }> {
  const tunnel = createServer((outside) => {
    const ca = certificates.authority.text;
    joinUp(outside, tls.connect({ port, host: '127.0.0.1', servername: kioskName, ca }));
  });
  return { address: `http://127.0.0.1:${await listens(tunnel)}`, close: () => tunnel.close() };
}

// Debian's list of types; without it everything would be text.
const mimeTypes = '/etc/nginx/mime.types';

function nginx(): string | undefined {
  return [...(process.env.PATH ?? '').split(delimiter), '/usr/sbin']
    .map((folder) => join(folder, 'nginx'))
    .find((path) => existsSync(path));
}

/** What comes out of one goes into the other; what breaks one ends both. */
function joinUp(one: Socket, other: Socket): void {
  for (const [from, to] of [
    [one, other],
    [other, one],
  ] as const) {
    from.on('error', () => to.destroy());
    from.on('close', () => to.destroy());
    from.pipe(to);
  }
}

function listens(server: Server): Promise<number> {
  return new Promise((done) => {
    server.listen(0, '127.0.0.1', () => done((server.address() as AddressInfo).port));
  });
}

async function freePort(): Promise<number> {
  const probe = createServer();
  const port = await listens(probe);
  await new Promise((done) => probe.close(done));
  return port;
}

async function accepts(port: number): Promise<void> {
  for (;;) {
    const taken = await new Promise<boolean>((done) => {
      const socket = connect(port, '127.0.0.1');
      socket.once('connect', () => done(true));
      socket.once('error', () => done(false));
      socket.once('connect', () => socket.destroy());
    });
    if (taken) return;
    await new Promise((done) => setTimeout(done, 50));
  }
}
