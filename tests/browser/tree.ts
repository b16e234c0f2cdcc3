import type { Page } from 'playwright-core';

/** What can be worked, by its role in the accessibility tree. */
const controls = new Set([
  'button',
  'checkbox',
  'combobox',
  'link',
  'radio',
  'searchbox',
  'slider',
  'spinbutton',
  'switch',
  'tab',
  'textbox',
]);

/**
 * What is amiss in the accessibility tree as Chromium hands it to screen readers: one heading of level 1, one main
 * part (or a dialog that shuts out the rest), a name for every control, picture and region (WCAG 2.2: 1.1.1, 1.3.1,
 * 2.4.6, 4.1.2; one h1 and one main are common practice), and the language of the page (3.1.1).
 */
export async function amissInTree(page: Page, language: string): Promise<string[]> {
  const session = await page.context().newCDPSession(page);
  const { nodes } = await session.send('Accessibility.getFullAXTree');
  await session.detach();
  const seen = nodes.filter(({ ignored }) => !ignored);
  const roleOf = (node: (typeof nodes)[number]) => String(node.role?.value ?? '');
  const nameOf = (node: (typeof nodes)[number]) => String(node.name?.value ?? '').trim();
  const found: string[] = [];
  const modal = seen.find(
    (node) =>
      roleOf(node) === 'alertdialog' &&
      node.properties?.some(({ name, value }) => name === 'modal' && value.value === true),
  );
  const mains = seen.filter((node) => roleOf(node) === 'main').length;
  if (modal ? mains > 0 : mains !== 1) found.push(`${mains} main parts`);
  const headings = seen.filter(
    (node) =>
      roleOf(node) === 'heading' &&
      node.properties?.some(({ name, value }) => name === 'level' && value.value === 1),
  );
  if (headings.length !== 1) found.push(`h1: ${headings.map(nameOf).join(' | ') || 'none'}`);
  if (headings.some((node) => nameOf(node) === '')) found.push('an empty h1');
  for (const node of seen) {
    const role = roleOf(node);
    if ((controls.has(role) || role === 'image' || role === 'region') && nameOf(node) === '')
      found.push(`a ${role} without a name`);
  }
  if (!seen.some((node) => controls.has(roleOf(node)))) found.push('nothing to press');
  const lang = await page.evaluate(() => document.documentElement.lang);
  if (lang !== language) found.push(`the page says that it is in "${lang}"`);
  return found;
}
