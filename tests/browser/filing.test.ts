import { readFileSync } from 'node:fs';
import { afterEach, expect, test } from 'vitest';
import { problemsOf } from '../fhir/checks';
import { everything, type FhirServer, startServer } from '../fhir/server';
import { patientSystem, register } from '../fhir/world';
import { visitId } from '../records/fixtures';
import { type Kiosk, openKiosk } from './chromium';
import { putVisits, visitOver, withGateway } from './filed';
import { focused } from './tabs';
import { en } from './words';

let kiosk: Kiosk;
let server: FhirServer;
afterEach(async () => {
  await kiosk.close();
  await server.close();
});

test('a visit under the number of somebody else is filed nowhere until it is put right, and can be saved as a file', async () => {
  server = await startServer(everything);
  await register(server, 'A-19');
  await register(server, 'A-91', { name: [{ family: 'Vance', given: ['Tobin'] }], birthDate: '1950-05-04' });
  kiosk = await openKiosk({
    microphone: 'none',
    site: { recordServer: { address: '/fhir', patientSystem } },
  });
  const { page } = kiosk;
  await withGateway(page.context(), kiosk.address, server);
  await page.getByRole('button', { name: en.visits }).waitFor();
  await putVisits(page, [visitOver(visitId, 'A-91', '2026-03-02T14:00:00.000Z')]);
  await page.reload();
  await page.getByText('1 visit is not yet filed in the record. See Visits.').waitFor();
  await page.getByRole('button', { name: en.visits }).click();
  await page.getByText('The record has another name for this record number').waitFor();
  await page.getByRole('button', { name: 'Open', exact: true }).click();
  await page.getByText('The record number A-91 belongs to Tobin Vance (born May 4, 1950).').waitFor();
  await page.getByRole('button', { name: 'No, the number is wrong' }).press('Enter');
  await page.getByText('belongs to somebody else, so nothing was filed').waitFor();
  expect((await focused(page))?.field).toBe('recordNumber');
  expect(server.asked.filter(({ method }) => method !== 'GET')).toEqual([]);
  await page.getByLabel('Record number of the patient').fill('A-19');
  await page.getByRole('button', { name: 'Try again' }).click();
  await page.getByText('This visit is filed in the record').waitFor();
  expect(server.repository.all('Procedure')).toHaveLength(1);
  expect(server.repository.all('DocumentReference')).toHaveLength(1);

  await page.getByLabel('Name of who signs').fill('R. Quillon');
  await page.getByRole('button', { name: 'Sign', exact: true }).click();
  await expect
    .poll(() => server.repository.all('DocumentReference'), { timeout: 20_000 })
    .toMatchObject([{ docStatus: 'final' }]);
  expect(server.repository.all('Procedure')).toHaveLength(1);
  await page.getByText('This visit is filed in the record').waitFor();

  const [download] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'Export as FHIR' }).click(),
  ]);
  const file: unknown = JSON.parse(readFileSync(await download.path(), 'utf8'));
  expect(problemsOf(file as object)).toEqual([]);
  expect(kiosk.errors).toEqual([]);
  expect(server.asked.map(({ method, url }) => `${method} ${url}`).at(-1)).toBe('POST /');
});
