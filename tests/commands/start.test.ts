import { spawnSync } from 'node:child_process';
import { createServer } from 'node:http';
import type { AddressInfo } from 'node:net';
import { fileURLToPath } from 'node:url';
import { expect, test } from 'vitest';

const start = fileURLToPath(new URL('../../src/commands/start.mjs', import.meta.url));

const startOn = (port: string) =>
  spawnSync(process.execPath, [start], { env: { ...process.env, PORT: port }, encoding: 'utf8' });

test('npm start says what to do when the port is in use', async () => {
  const other = createServer();
  await new Promise<void>((done) => other.listen(0, '127.0.0.1', done));
  const { port } = other.address() as AddressInfo;
  const { status, stderr } = startOn(String(port));
  other.close();
  expect(status).toBe(1);
  expect(stderr).toContain(`Port ${port} is in use.`);
  expect(stderr).toContain(`PORT=${port + 1} npm start`);
});

test.each(['door', '0.5', '-1', '70000'])('npm start refuses %s as a port', (port) => {
  const { status, stderr } = startOn(port);
  expect(status).toBe(1);
  expect(stderr).toContain(`not "${port}"`);
});
