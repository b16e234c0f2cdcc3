import { createHash, X509Certificate } from 'node:crypto';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { chromium } from 'playwright-core';
import { expect, test } from 'vitest';
import { dist } from '../../src/commands/prepare.mjs';
import { kioskName, lacking, startGateway } from '../fhir/gateway';
import { everything, startServer } from '../fhir/server';
import { skipped } from '../skipped';
import { executablePath } from './browser';
import { startPractice, touch, until } from './visit';

/* The built kiosk behind src/fhir/gateway.nginx.conf: under a name, with TLS, as a ward has it that serves many. */

test.skipIf(lacking)(
  `behind nginx with TLS the kiosk has its microphone, its ear and its copy for offline${skipped(lacking)}`,
  async () => {
    const records = await startServer(everything);
    const gateway = await startGateway({ folder: dist, records: Number(new URL(records.address).port) });
    const profile = mkdtempSync(join(tmpdir(), 'ownwords-profile-'));
    const address = `https://${kioskName}:${gateway.port}`;
    // One key is trusted as if by an authority of the device; all else about TLS stays as it is.
    const key = new X509Certificate(gateway.kiosk.cert).publicKey;
    const pin = createHash('sha256')
      .update(key.export({ type: 'spki', format: 'der' }))
      .digest('base64');
    const context = await chromium.launchPersistentContext(profile, {
      executablePath,
      args: [
        '--no-sandbox',
        '--use-fake-device-for-media-stream',
        '--use-fake-ui-for-media-stream',
        '--disable-background-networking',
        `--host-resolver-rules=MAP ${kioskName} 127.0.0.1, MAP * ~NOTFOUND`,
        `--ignore-certificate-errors-spki-list=${pin}`,
      ],
    });
    try {
      const page = await context.newPage();
      const errors: string[] = [];
      page.on('console', (message) => message.type() === 'error' && errors.push(message.text()));
      page.on('pageerror', (error) => errors.push(String(error)));
      await page.goto(address);
      expect(await page.evaluate(() => isSecureContext)).toBe(true);
      const tracks = await page.evaluate(async () => {
        const stream = await navigator.mediaDevices.getUserMedia({ audio: true });
        const tracks = stream.getTracks();
        for (const track of tracks) track.stop();
        return tracks.map(({ kind }) => kind);
      });
      expect(tracks).toEqual(['audio']);
      await startPractice(page);
      await touch(page, ({ screen }) => screen === 'listen', 60_000);
      const { ear } = await until(page, 'an open ear', ({ listening }) => listening === 'waiting', 90_000);
      expect(ear).toBe('embedded');
      await page.evaluate(() => navigator.serviceWorker.ready);
      expect(errors).toEqual([]);
    } finally {
      await context.close();
      await gateway.close();
      await records.close();
      rmSync(profile, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
    }
  },
);
