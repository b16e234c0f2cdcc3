import { afterEach, expect, test } from 'vitest';
import { type Kiosk, openDevice, openKiosk } from './chromium';
import { rue, setFirstSecret } from './secret';
import { isOver, startPractice, touch, until } from './visit';
import { en } from './words';

let kiosk: Kiosk;
afterEach(() => kiosk.close());

const button = (name: string) => kiosk.page.getByRole('button', { name, exact: true });
const seen = (text: string | RegExp) => kiosk.page.getByText(text).first().waitFor();
const fill = (field: string, text: string) => kiosk.page.locator(`[name=${field}]`).fill(text);
const { secret } = rue;

/** Does anything of a visit lie on the disk? */
const stored = () =>
  new Promise<boolean>((done) => {
    const opening = indexedDB.open('ownwords');
    opening.onsuccess = () => {
      const counting = opening.result.transaction('events').objectStore('events').count();
      counting.onsuccess = () => {
        opening.result.close();
        done(counting.result > 0);
      };
    };
  });

/** A visit that was broken off, ended early. */
async function endVisit() {
  await until(kiosk.page, 'the offer to go on', ({ screen }) => screen === 'resume');
  await button(en.resumeNo).click();
  await button(en.endVisit).click();
  await touch(kiosk.page, isOver, 60_000);
}

test('a visit goes on when the disk is full, and asks to be printed; a browser that refuses to store says so', async () => {
  const device = await openDevice({ microphone: 'none' });
  kiosk = device;
  await startPractice(kiosk.page);
  await expect.poll(() => kiosk.page.evaluate(stored), { timeout: 20_000 }).toBe(true);
  // Chromium remembers for a while how much room there was, as long as it runs.
  await device.crash();
  await device.reopen();
  const { page } = device;
  const devtools = await page.context().newCDPSession(page);
  await devtools.send('Storage.overrideQuotaForOrigin', { origin: kiosk.address, quotaSize: 1 });
  await endVisit();
  await seen(en.unsaved);
  await button(en.print).waitFor();
  await button(en.close).click();
  await seen(/This device has no room left/);
  // What was held is there, as long as the page is.
  await button(en.visits).click();
  await seen('stopped');
  await seen(/only held in memory/);

  await page.addInitScript(() => {
    IDBFactory.prototype.open = () => {
      throw new DOMException('The request was denied.', 'SecurityError');
    };
  });
  await page.reload();
  await seen(/does not let Ownwords save anything/);
  await button(en.newVisit).click();
  await seen(/This device stores nothing now/);
});

test('a backup holds a visit that is erased afterwards, and brings it back', async () => {
  kiosk = await openKiosk({ microphone: 'none' });
  const { page } = kiosk;
  await button('Set it up').click();
  await button('5. Practice visit').click();
  await button('Start the practice visit').click();
  await expect.poll(() => page.evaluate(stored), { timeout: 20_000 }).toBe(true);
  await page.reload();
  await endVisit();
  await button(en.close).click();
  // It is not offered again.
  expect(await button('Set it up').count()).toBe(0);
  await button(en.visits).click();
  await setFirstSecret(page);

  await button('Backup and restore').click();
  await fill('own', secret);
  const [download] = await Promise.all([page.waitForEvent('download'), button('Save all visits').click()]);
  expect(download.suggestedFilename()).toMatch(/\.ownwords$/);
  await button('Back').click();
  await button('Open').click();
  await button('Erase this visit').click();
  await button('Erase it for good').click();
  await seen('No visit is stored on this device.');

  await button('Backup and restore').click();
  await page.locator('input[type=file]').setInputFiles(await download.path());
  await seen(/It is from this ward/);
  await fill('theirs', secret);
  await button('Restore').click();
  await seen('Restored: 1 visit added.');
  await button('Back').click();
  await button('Open').click();
  await page.locator('[data-screen=review]').waitFor();
  await button('Back').click();
  await button('Staff and trail').click();
  for (const deed of ['saved all visits as a backup', 'erased a visit', 'restored a backup'])
    await seen(new RegExp(`^${deed}`));
});

/** Another window, which gets the lock of the one that writes as soon as this kiosk's page goes. @returns lets go */
async function anotherWindow(): Promise<() => Promise<void>> {
  const page = await kiosk.page.context().newPage();
  await page.goto(`${kiosk.address}/version.json`);
  await page.evaluate(() => {
    void navigator.locks.request(
      'ownwords-writer',
      () => new Promise<void>((done) => Object.assign(window, { done })),
    );
  });
  await page.waitForFunction(async () => (await navigator.locks.query()).pending?.length === 1);
  return async () => {
    await page.waitForFunction(() => 'done' in window);
    await page.close();
  };
}

test('a page that loads while its old self still has the disk waits for it; beside another window it loads again when that is gone', async () => {
  kiosk = await openKiosk({ microphone: 'none' });
  const { page } = kiosk;
  const only = () => page.getByText('only that one can save').count();
  await button(en.practice).waitFor();

  let letGo = await anotherWindow();
  await page.reload();
  // Slow to go, as on a device that is busy.
  await page.waitForTimeout(2_000);
  await letGo();
  await button(en.practice).waitFor();
  expect(await only()).toBe(0);
  await startPractice(page);
  await expect.poll(() => page.evaluate(stored), { timeout: 20_000 }).toBe(true);

  letGo = await anotherWindow();
  await page.reload();
  await seen(/only that one can save/);
  await letGo();
  await page.locator('[data-screen=resume]').waitFor();
  expect(await only()).toBe(0);
  await endVisit();
  expect(kiosk.errors).toEqual([]);
});
