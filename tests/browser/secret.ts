import type { Page } from 'playwright-core';

/** Whoever sets the first secret of a kiosk, and opens its records with it. */
export const rue = { name: 'R. Quillon', id: 'rue', secret: 'brass lantern over a quiet harbor' };

/** From the list of visits and back to it: sets the first secret, and the records are open. */
export async function setFirstSecret(page: Page): Promise<void> {
  const press = (name: string) => page.getByRole('button', { name, exact: true }).click();
  await press('Set a staff secret');
  for (const [field, text] of Object.entries({ ...rue, again: rue.secret }))
    await page.locator(`[name="${field}"]`).fill(text);
  await press('Seal the records');
  await press('It is written down');
  await page.getByText(`Sealed; opened by ${rue.name}.`).waitFor();
}
