import { readFileSync } from 'node:fs';
import { createRequire } from 'node:module';
import type { AxeResults } from 'axe-core';
import type { Page } from 'playwright-core';

/*
 * Rules of axe-core for WCAG 2.0 to 2.2, A and AA, its best practice, and contrast as of AAA. Automatic rules find a
 * part of the barriers only.
 */

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8');

declare global {
  interface Window {
    axe: { run(options: object): Promise<AxeResults> };
    barriers(rules?: 'of colour'): Promise<string[]>;
  }
}

/**
 * Makes `barriers()` known to the page: a line for each rule that is broken, with the elements that break it. What has
 * only changed its light has to be tried by the rules of colour alone.
 */
export async function bringAxe(page: Page): Promise<void> {
  // Evaluated, not added as a script: the page's policy lets no script in.
  await page.evaluate(axe);
  await page.evaluate(() => {
    const all = ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice', 'cat.color'];
    window.barriers = async (rules) => {
      const { violations } = await window.axe.run({
        runOnly: rules ? ['cat.color'] : all,
        rules: { 'color-contrast-enhanced': { enabled: true }, 'target-size': { enabled: !rules } },
        resultTypes: ['violations'],
        elementRef: false,
      });
      return violations.map(
        ({ id, nodes }) => `${id}: ${nodes.map((node) => node.html.slice(0, 160)).join(' | ')}`,
      );
    };
  });
}
