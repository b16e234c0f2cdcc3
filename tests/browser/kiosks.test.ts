import type { BrowserContext, Page } from 'playwright-core';
import { afterEach, expect, test } from 'vitest';
import { everything, type FhirServer, identifiersOf, startServer } from '../fhir/server';
import { patientSystem, register } from '../fhir/world';
import { bringAxe } from './axe';
import { type Kiosk, openKiosk } from './chromium';
import { putVisits, visitOver, withGateway } from './filed';
import { panels } from './panels';
import { setFirstSecret } from './secret';
import { focused } from './tabs';
import { en } from './words';

/** The machine may be busy. */
const patience = { timeout: 60_000 };

let kiosk: Kiosk;
let server: FhirServer;
const others: BrowserContext[] = [];
afterEach(async () => {
  await Promise.all(others.splice(0).map((context) => context.close()));
  await kiosk.close();
  await server.close();
});

const site = (name: string) => ({ recordServer: { address: '/fhir', patientSystem, kiosk: name } });
const idOf = (n: number) => `0000000${n}-5a0e-4c57-9b1e-0d8f5f0a1c11`;
const over = (n: number, number: string) => visitOver(idOf(n), number, `2026-03-02T14:0${n}:00.000Z`);
const notes = () =>
  server.repository
    .all('DocumentReference')
    .map((note) => identifiersOf(note)[0]?.value)
    .sort();
const wanted = (numbers: number[]) => numbers.map((n) => `${idOf(n)}.note`);

/** Another device: a context of its own, which shares nothing with the others. */
async function another(name: string): Promise<{ page: Page; cable: { out: boolean } }> {
  const context = await kiosk.page.context().browser()!.newContext();
  others.push(context);
  await context.addInitScript('globalThis.__name ??= (value) => value;');
  await context.route('**/site.json', (route) => route.fulfill({ json: site(name) }));
  const cable = await withGateway(context, kiosk.address, server);
  const page = await context.newPage();
  page.on('pageerror', (error) => kiosk.errors.push(String(error)));
  return { page, cable };
}

test('two kiosks file with one server, one of them a day late, and a desk reads what both have filed', async () => {
  server = await startServer(everything);
  await register(server, 'A-1');
  await register(server, 'A-2');
  kiosk = await openKiosk({ microphone: 'none', site: site('harbor-4') });
  const one = kiosk.page;
  await withGateway(one.context(), kiosk.address, server);
  const [other, desk] = await Promise.all([another('harbor-5'), another('desk')]);
  other.cable.out = true;
  await other.page.clock.install();
  await Promise.all([other.page.goto(kiosk.address), desk.page.goto(kiosk.address)]);
  const idle = ({ page }: { page: Page }) => page.getByRole('button', { name: en.visits }).waitFor();
  await Promise.all([idle({ page: one }), idle(other)]);
  await putVisits(one, [over(1, 'A-1'), over(3, 'A-2')]);
  await putVisits(other.page, [over(2, 'A-2'), over(4, 'A-1')]);
  await Promise.all([one.reload(), other.page.reload()]);
  await other.page.getByText('2 visits are not yet filed in the record. See Visits.').waitFor();
  await expect.poll(notes, patience).toEqual(wanted([1, 3]));

  // It tries for a day in vain, then the cable is in again.
  await other.page.clock.fastForward('24:00:00');
  await other.page.getByText('2 visits are not yet filed in the record. See Visits.').waitFor();
  expect(notes()).toEqual(wanted([1, 3]));
  other.cable.out = false;
  await expect
    .poll(
      async () => {
        await other.page.clock.fastForward('15:00');
        return notes();
      },
      { ...patience, interval: 2_000 },
    )
    .toEqual(wanted([1, 2, 3, 4]));
  expect(server.repository.all('Procedure')).toHaveLength(4);

  const { page } = desk;
  const button = (name: string) => page.getByRole('button', { name, exact: true });
  await idle(desk);
  await button(en.visits).click();
  await page.getByText('can be read here once there is a staff secret').waitFor();
  await setFirstSecret(page);
  await button('On the server').click();
  await page.getByText('There are no older notes.').waitFor();
  const rows = await page.getByRole('row').allTextContents();
  expect(rows.slice(1).map((row) => /harbor-\d/.exec(row)?.[0])).toEqual([
    ...['harbor-5', 'harbor-4', 'harbor-5', 'harbor-4'],
  ]);
  expect(rows[1]).toMatch(/Ines Marlow.*A-1.*not signed yet/);
  await page
    .getByRole('button', { name: /^Read: / })
    .first()
    .press('Enter');
  await page.locator('pre', { hasText: 'Ines Marlow' }).waitFor();
  await bringAxe(page);
  await page.setViewportSize(panels[0]!);
  expect(await page.evaluate(() => window.barriers())).toEqual([]);
  await button('Back to the list').press('Enter');
  expect((await focused(page))?.name).toMatch(/^Read: Ines Marlow/);
  desk.cable.out = true;
  await button('Back').click();
  await button('On the server').click();
  await page.getByText('The record server cannot be reached').waitFor();
  await button('Back').click();
  await button('Staff and trail').click();
  await page.getByRole('cell', { name: 'read a note on the record server' }).waitFor();
  expect(kiosk.errors.filter((error) => !error.includes('ERR_INTERNET_DISCONNECTED'))).toEqual([]);
});
