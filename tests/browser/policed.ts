import { spawnSync } from 'node:child_process';
import { chmodSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { dist, root } from '../../src/commands/prepare.mjs';
import { serve } from '../../src/commands/serve.mjs';
import { executablePath } from './browser';

const policies = join(root, 'src/appliance/chromium-policies.json');
const installed = 'http://localhost:4173';

/** Why Chromium cannot be given policies here; '' when it can. */
export const lacking = !existsSync('/etc/chromium')
  ? "needs Debian's Chromium, which reads its policies from /etc/chromium"
  : spawnSync('unshare', ['-m', 'mount', '--bind', '/tmp', '/tmp']).status !== 0
    ? 'needs root and unshare, to put policies before one browser only'
    : '';

/** What ownwords-screen.service gives Chromium, besides profile and address. */
function flagsOfScreen(): string[] {
  const unit = readFileSync(join(root, 'src/appliance/ownwords-screen.service'), 'utf8');
  const [, ...given] = /^ExecStart=(.*)$/m.exec(unit)?.[1]?.split(' ') ?? [];
  const flags = given.filter((arg) => arg.startsWith('--') && !arg.startsWith('--user-data-dir='));
  if (flags.length === 0) throw new Error('the unit of the screen gives Chromium nothing');
  return flags;
}

export interface Policed {
  /** Starts Chromium with these policies, for itself only. */
  program: string;
  /** What the unit of the screen gives it, and what a test machine needs. */
  args: string[];
  profile: string;
  /** Of what is served: the one the policies let in. */
  address: string;
  /** The policies as they were given. */
  given: Record<string, unknown>;
  close(): Promise<void>;
}

/**
 * The policies of src/appliance, to be put into /etc/chromium before one browser.
 * @param options.preferences of the profile
 * @param options.without policies to leave out
 */
export async function preparePoliced(
  options: { preferences?: object; without?: string[] } = {},
): Promise<Policed> {
  const home = mkdtempSync(join(tmpdir(), 'ownwords-policies-'));
  const server = await serve({ folder: dist, port: 0 });
  const managed = join(home, 'etc', 'policies', 'managed');
  mkdirSync(managed, { recursive: true });
  const given = JSON.parse(readFileSync(policies, 'utf8').replaceAll(installed, server.address));
  // A driver is a developer's tool, and begins with an empty page.
  given.DeveloperToolsAvailability = 1;
  given.URLAllowlist.push('about:blank');
  for (const name of options.without ?? []) delete given[name];
  writeFileSync(join(managed, 'ownwords.json'), JSON.stringify(given));
  const profile = join(home, 'profile');
  mkdirSync(join(profile, 'Default'), { recursive: true });
  writeFileSync(join(profile, 'Default', 'Preferences'), JSON.stringify(options.preferences ?? {}));
  const program = join(home, 'chromium');
  writeFileSync(
    program,
    `#!/bin/sh\nexec unshare -m sh -c 'mount --bind "$0" /etc/chromium && exec ${executablePath} "$@"' '${home}/etc' "$@"\n`,
  );
  chmodSync(program, 0o755);
  return {
    program,
    args: [
      ...flagsOfScreen(),
      '--no-sandbox',
      '--use-fake-device-for-media-stream',
      '--disable-background-networking',
    ],
    profile,
    address: server.address,
    given,
    async close() {
      await server.close();
      rmSync(home, { recursive: true, force: true, maxRetries: 20, retryDelay: 200 });
    },
  };
}
