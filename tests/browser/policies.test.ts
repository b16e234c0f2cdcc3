import { spawnSync } from 'node:child_process';
import { chmodSync, existsSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { expect, test } from 'vitest';
import { dist, root } from '../../src/commands/prepare.mjs';
import { serve } from '../../src/commands/serve.mjs';
import { executablePath } from './chromium';

/*
 * The policies of src/appliance in Debian's Chromium, which reads them from /etc: put there for one browser only, started
 * as the unit of the screen starts it.
 */

const policies = join(root, 'src/appliance/chromium-policies.json');
const installed = 'http://localhost:4173';
/** What ownwords-screen.service gives Chromium, besides profile and address. */
const flagsOfScreen = () => {
  const unit = readFileSync(join(root, 'src/appliance/ownwords-screen.service'), 'utf8');
  const [, ...given] = /^ExecStart=(.*)$/m.exec(unit)?.[1]?.split(' ') ?? [];
  const flags = given.filter((arg) => arg.startsWith('--') && !arg.startsWith('--user-data-dir='));
  if (flags.length === 0) throw new Error('the unit of the screen gives Chromium nothing');
  return flags;
};
const lacking = !existsSync('/etc/chromium')
  ? "needs Debian's Chromium, which reads its policies from /etc/chromium"
  : spawnSync('unshare', ['-m', 'mount', '--bind', '/tmp', '/tmp']).status !== 0
    ? 'needs root and unshare, to put policies before one browser only'
    : '';

test.skipIf(lacking)(
  `Chromium takes every policy, opens nothing but the kiosk, and gives it a microphone and no camera${lacking && ` (skipped: ${lacking})`}`,
  async () => {
    const home = mkdtempSync(join(tmpdir(), 'ownwords-policies-'));
    const server = await serve({ folder: dist, port: 0 });
    const managed = join(home, 'etc', 'policies', 'managed');
    mkdirSync(managed, { recursive: true });
    const given = JSON.parse(readFileSync(policies, 'utf8').replaceAll(installed, server.address));
    // This test alone may look at the browser's own list, and drives it as a developer's tool would.
    given.URLAllowlist.push('chrome://policy', 'about:blank');
    given.DeveloperToolsAvailability = 1;
    writeFileSync(join(managed, 'ownwords.json'), JSON.stringify(given));
    const wrapper = join(home, 'chromium');
    writeFileSync(
      wrapper,
      `#!/bin/sh\nexec unshare -m sh -c 'mount --bind "$0" /etc/chromium && exec ${executablePath} "$@"' '${home}/etc' "$@"\n`,
    );
    chmodSync(wrapper, 0o755);
    const context = await chromium.launchPersistentContext(join(home, 'profile'), {
      executablePath: wrapper,
      args: [
        ...flagsOfScreen(),
        '--no-sandbox',
        '--use-fake-device-for-media-stream',
        '--disable-background-networking',
      ],
      timeout: 60_000,
    });
    try {
      const page = await context.newPage();
      await page.goto('chrome://policy');
      await page.waitForTimeout(500);
      const taken = await page.evaluate(() => {
        const rows: { name: string; value: string; problem: string }[] = [];
        const look = (root: Document | ShadowRoot) => {
          for (const element of root.querySelectorAll('*')) {
            if (element.tagName === 'POLICY-ROW' && element.shadowRoot) {
              const text = (selector: string) =>
                element.shadowRoot?.querySelector(selector)?.textContent?.trim() ?? '';
              rows.push({ name: text('.name'), value: text('.value'), problem: text('.messages') });
            }
            if (element.shadowRoot) look(element.shadowRoot);
          }
        };
        look(document);
        return rows.filter(({ name, value }) => name && value);
      });
      const names = new Set(taken.map(({ name }) => name.split('\n')[0]));
      expect(Object.keys(given).filter((name) => !names.has(name))).toEqual([]);
      expect(taken.filter(({ problem }) => !/^OK/.test(problem))).toEqual([]);

      await page.goto(server.address);
      expect(await page.title()).toBe('Ownwords');
      const granted = await page.evaluate(async () => {
        const open = (what: MediaStreamConstraints) =>
          navigator.mediaDevices.getUserMedia(what).then(
            () => 'given',
            ({ name }: DOMException) => name,
          );
        return {
          microphone: await open({ audio: true }),
          camera: await open({ video: true }),
        };
      });
      expect(granted).toEqual({ microphone: 'given', camera: 'NotAllowedError' });
      for (const elsewhere of ['http://127.0.0.2:1/', 'file:///etc/hostname', 'chrome://settings'])
        await expect(page.goto(elsewhere)).rejects.toThrow(
          /ERR_BLOCKED_BY_ADMINISTRATOR|ERR_INVALID_URL|interrupted/,
        );
    } finally {
      await context.close();
      await server.close();
      rmSync(home, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
    }
  },
);
