import { spawn, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium, type Page } from 'playwright-core';
import { expect, test } from 'vitest';
import { dist } from '../../src/commands/prepare.mjs';
import { serve } from '../../src/commands/serve.mjs';
import { skipped } from '../skipped';
import { openPipe } from './pipe';
import { lacking, preparePoliced } from './policed';

test.skipIf(lacking)(
  `Chromium takes every policy, opens nothing but the kiosk, and gives it a microphone and no camera${skipped(lacking)}`,
  async () => {
    const { program, args, profile, address, given, close } = await preparePoliced();
    const context = await chromium.launchPersistentContext(profile, {
      executablePath: program,
      args,
      timeout: 60_000,
    });
    const neighbour = await serve({ folder: dist, port: 0 });
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

      await page.goto(address);
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
      for (const elsewhere of shut(address, neighbour.address))
        expect(await endOf(page, address, elsewhere, 10_000), elsewhere).toBe(
          'chrome-error://chromewebdata/',
        );
    } finally {
      await context.close();
      await close();
      await neighbour.close();
    }
  },
);

/** What is not for anybody at a kiosk. */
const shut = (address: string, neighbour: string) => [
  neighbour,
  'file:///etc/hostname',
  `view-source:${address}`,
  'chrome://settings',
  'chrome://flags',
  'chrome://downloads',
  'chrome://history',
  'chrome://version',
];

/**
 * Where the browser ends up when it is sent elsewhere: the driver tells in several ways that it was not let in.
 * @param patience for it to be shut, ms
 */
async function endOf(page: Page, address: string, elsewhere: string, patience: number): Promise<string> {
  // A page of the kiosk without its app, which would only begin to load its voice.
  await page.goto(`${address}/version.json`);
  await page.goto(elsewhere).catch(() => {});
  await page.waitForURL((url) => url.protocol === 'chrome-error:', { timeout: patience }).catch(() => {});
  return page.url();
}

test.skipIf(lacking)(
  `without its list of what is shut, each of those pages opens: the list shuts them${skipped(lacking)}`,
  async () => {
    const { program, args, profile, address, close } = await preparePoliced({ without: ['URLBlocklist'] });
    const neighbour = await serve({ folder: dist, port: 0 });
    const context = await chromium.launchPersistentContext(profile, {
      executablePath: program,
      args,
      timeout: 60_000,
    });
    try {
      const page = await context.newPage();
      for (const elsewhere of shut(address, neighbour.address))
        expect(await endOf(page, address, elsewhere, 500), elsewhere).not.toMatch(/^chrome-error:/);
    } finally {
      await context.close();
      await close();
      await neighbour.close();
    }
  },
);

const screenless =
  lacking ||
  (spawnSync('Xvfb', ['-help']).error
    ? 'needs a screen for a browser that prints without a question (Debian: apt-get install xvfb)'
    : '');

test.skipIf(screenless)(
  `under the policies the kiosk prints without a question, goes on, and saves a file${skipped(screenless)}`,
  async () => {
    const paper = mkdtempSync(join(tmpdir(), 'ownwords-paper-'));
    // A file stands for the printer, also where there is one.
    const destination = { version: 2, recentDestinations: [{ id: 'Save as PDF', origin: 'local' }] };
    const { program, args, profile, address, close } = await preparePoliced({
      without: ['PrintPreviewUseSystemDefaultPrinter', 'PromptForDownloadLocation'],
      preferences: {
        download: { default_directory: paper },
        savefile: { default_directory: paper },
        printing: { print_preview_sticky_settings: { appState: JSON.stringify(destination) } },
      },
    });
    const screen = spawn('Xvfb', ['-displayfd', '3', '-screen', '0', '1080x1920x24', '-nolisten', 'tcp'], {
      stdio: ['ignore', 'ignore', 'ignore', 'pipe'],
    });
    const number = await new Promise<string>((done, failed) => {
      screen.stdio[3]!.once('data', (data) => done(`${data}`));
      screen.once('exit', (code) => failed(new Error(`Xvfb ended with ${code}`)));
    });
    // Playwright takes files past the policies, and dialogs into its own hands.
    const browser = spawn(
      program,
      [...args, '--remote-debugging-pipe', `--user-data-dir=${profile}`, address],
      {
        env: { ...process.env, DISPLAY: `:${number.trim()}` },
        stdio: ['ignore', 'ignore', 'ignore', 'pipe', 'pipe'],
      },
    );
    const pipe = openPipe(browser);
    const paperOf = (name: string) =>
      existsSync(join(paper, name)) ? readFileSync(join(paper, name), 'latin1') : '';
    try {
      let session = '';
      await expect
        .poll(async () => (session = (await pipe.attach(address)) ?? ''), { timeout: 30_000 })
        .not.toBe('');
      const press = <R>(expression: string) => pipe.evaluate<R>(session, expression, { userGesture: true });
      await expect
        .poll(() => press('document.body?.innerText'), { timeout: 30_000 })
        .toContain('Practice visit');
      await press('void setTimeout(() => { print(); document.title = "printed"; })');
      await expect.poll(() => paperOf('Ownwords.pdf'), { timeout: 20_000 }).toMatch(/^%PDF-[\s\S]*%%EOF\s*$/);
      await expect.poll(() => press('document.title'), { timeout: 20_000 }).toBe('printed');
      await press(
        `const link = document.createElement('a');
        link.href = URL.createObjectURL(new Blob(['a visit']));
        link.download = 'visit.txt';
        link.click()`,
      );
      await expect.poll(() => paperOf('visit.txt'), { timeout: 10_000 }).toBe('a visit');
    } finally {
      await pipe.send('Browser.close').catch(() => {});
      await pipe.gone;
      screen.kill();
      await close();
      rmSync(paper, { recursive: true, force: true });
    }
  },
);
