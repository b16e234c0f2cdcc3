import { mkdirSync, rmSync } from 'node:fs';
import { join } from 'node:path';
import { parseArgs } from 'node:util';
import { buildPage } from '../../tests/browser/build-page';
import { openDevice } from '../../tests/browser/chromium';
import { panels } from '../../tests/browser/panels';
import { root } from './prepare.mjs';

/*
 * npm run screens: a picture of every screen with its longest texts, to be looked at, in out/looks: by language, by
 * light, on both panels. --module inhaler-spacer, --language en,es,fr, --light day,night, --screen explain,cards,
 * --panel 1080,1280, --rtl (as in a language that is written from right to left).
 */

const { values } = parseArgs({
  options: {
    module: { type: 'string', default: 'inhaler-spacer' },
    language: { type: 'string', default: 'en,es,fr' },
    light: { type: 'string', default: 'day,night' },
    screen: { type: 'string', default: '' },
    panel: { type: 'string', default: '1080,1280' },
    rtl: { type: 'boolean', default: false },
    out: { type: 'string', default: join(root, 'out', 'looks') },
  },
});
const list = (text: string) => text.split(',').filter(Boolean);

rmSync(values.out, { recursive: true, force: true });
mkdirSync(values.out, { recursive: true });
const kiosk = await openDevice({ microphone: 'none', folder: await buildPage('screens') });
const { page } = kiosk;
let taken = 0;
for (const language of list(values.language)) {
  await page.goto(`${kiosk.address}/?module=${values.module}&language=${language}`);
  await page.waitForSelector('[data-ready]');
  const [forAll, forStaff] = await page.evaluate(() => [window.screenNames, window.staffScreens]);
  const names = [...forAll!, ...(language === 'en' ? forStaff! : [])];
  for (const panel of panels.filter(({ width }) => list(values.panel).includes(`${width}`))) {
    await page.setViewportSize(panel);
    for (const name of names.filter((one) => !values.screen || list(values.screen).includes(one))) {
      await page.evaluate(
        async ([screen, rtl]) => {
          window.showScreen(screen);
          if (rtl) document.documentElement.dir = 'rtl';
          await Promise.all([...document.images].map((image) => image.decode()));
        },
        [name, values.rtl] as const,
      );
      for (const light of list(values.light) as ('day' | 'night')[]) {
        await page.evaluate((one) => window.setLight(one), light);
        const file = `${name}-${language}-${panel.width}-${light}${values.rtl ? '-rtl' : ''}.png`;
        await page.screenshot({ path: join(values.out, file) });
        taken++;
      }
    }
  }
}
await kiosk.close();
console.log(`${taken} pictures in ${values.out}`);
