import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, test } from 'vitest';
import { root } from '../../src/commands/prepare.mjs';
import { skipped } from '../skipped';

const folder = join(root, 'src/appliance');
const read = (name: string) => readFileSync(join(folder, name), 'utf8');
const entry = (unit: string, name: string) => new RegExp(`^${name}=(.*)$`, 'm').exec(read(unit))?.[1];

const absent = spawnSync('systemd-analyze', ['--version']).error ? 'systemd-analyze is not installed' : '';
const verify = (unit: string, ...options: string[]) => {
  const { stderr } = spawnSync('systemd-analyze', [...options, 'verify', join(folder, unit)], {
    encoding: 'utf8',
    env: { ...process.env, XDG_RUNTIME_DIR: process.env.XDG_RUNTIME_DIR ?? '/tmp' },
  });
  // What other units of this machine lack is no fault of ours, and neither is a program that is elsewhere here.
  return stderr
    .split('\n')
    .filter(
      (line) => /^Failed/.test(line) || (line.includes(unit) && !/Command .* is not executable/.test(line)),
    )
    .join('\n');
};

test.skipIf(absent)(`systemd finds nothing to say about the unit of the server${skipped(absent)}`, () => {
  expect(verify('ownwords.service')).toBe('');
});

test.skipIf(absent)(`systemd finds nothing to say about the unit of the screen${skipped(absent)}`, () => {
  expect(verify('ownwords-screen.service', '--user')).toBe('');
});

test('the server, the screen and the browser policies name one address', () => {
  const port = /PORT=(\d+)/.exec(entry('ownwords.service', 'Environment') ?? '')?.[1];
  const address = `http://localhost:${port}`;
  expect(entry('ownwords-screen.service', 'ExecStart')?.split(' ').at(-1)).toBe(`${address}/`);
  expect(entry('ownwords-screen.service', 'ExecStartPre')).toContain(`${address}/`);
  const policies = JSON.parse(read('chromium-policies.json'));
  expect(policies.URLAllowlist).toEqual([
    address,
    'blob:*',
    'chrome://policy',
    'chrome://print',
    'chrome-untrusted://print',
  ]);
  expect(policies.URLBlocklist).toEqual(['*', 'chrome://*']);
  const named = JSON.stringify(policies).match(/https?:\/\/[^"/]+/g) ?? [];
  expect(new Set(named)).toEqual(new Set([address]));
});

test('what the unit of the server runs is there, and is given nothing but this machine to talk to', () => {
  const [node, script] = (entry('ownwords.service', 'ExecStart') ?? '').split(' ');
  expect(node).toBe('/usr/bin/node');
  expect(readFileSync(join(root, script ?? ''), 'utf8')).toContain('PORT');
  expect(entry('ownwords.service', 'IPAddressDeny')).toBe('any');
  expect(entry('ownwords.service', 'IPAddressAllow')).toBe('localhost');
});
