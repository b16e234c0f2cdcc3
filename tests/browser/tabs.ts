import type { Page } from 'playwright-core';

/** What has the focus: its name, and whether the focus can be seen on it (WCAG 2.2, 2.4.7). */
export const focused = (page: Page) =>
  page.evaluate(() => {
    const at = document.activeElement;
    if (!(at instanceof HTMLElement) || at === document.body) return null;
    const box = at.getBoundingClientRect();
    const { outlineStyle, outlineWidth } = getComputedStyle(at);
    const label = at instanceof HTMLInputElement || at instanceof HTMLSelectElement ? at.labels?.[0] : null;
    return {
      name: (at.getAttribute('aria-label') ?? (label ?? at).textContent)?.trim().replace(/\s+/g, ' ') ?? '',
      field: at.getAttribute('name') ?? at.tagName.toLowerCase(),
      ring: outlineStyle !== 'none' && Number.parseFloat(outlineWidth) >= 2,
      path: `${[...document.querySelectorAll('*')].indexOf(at)}`,
      inSight: box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth,
    };
  });

/** Tabs from the top through the whole screen, until the focus leaves the page or comes round. */
export async function tabStops(page: Page) {
  const stops: NonNullable<Awaited<ReturnType<typeof focused>>>[] = [];
  // A dialog gives the focus to its first button by itself.
  let stop = await focused(page);
  if (stop?.field !== 'button') {
    await page.keyboard.press('Tab');
    stop = await focused(page);
  }
  while (stop && stop.path !== stops[0]?.path && stops.length < 60) {
    stops.push(stop);
    await page.keyboard.press('Tab');
    stop = await focused(page);
  }
  return stops;
}
