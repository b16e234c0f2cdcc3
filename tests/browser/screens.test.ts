import { rmSync } from 'node:fs';
import { afterAll, beforeAll, describe, expect, test } from 'vitest';
import { languagesOf, modules } from '../../phrasebanks/read';
import { bringAxe } from './axe';
import { buildPage } from './build-page';
import { type Kiosk, openKiosk } from './chromium';
import { panels } from './panels';
import { tabStops } from './tabs';
import { amissInTree } from './tree';

/*
 * Every screen in every language, on a tall panel and on the smallest tablet meant, with the longest texts of each
 * module. `npm run screens` keeps pictures, to be looked at.
 */

const lessons = modules().flatMap((module) => languagesOf(module).map((language) => ({ module, language })));

let folder = '';
let kiosk: Kiosk;
beforeAll(async () => {
  folder = await buildPage('screens');
  kiosk = await openKiosk({ microphone: 'none', folder });
});
afterAll(async () => {
  await kiosk?.close();
  rmSync(folder, { recursive: true, force: true });
});

async function open({ module, language }: { module: string; language: string }) {
  await kiosk.page.goto(`${kiosk.address}/?module=${module}&language=${language}`);
  await kiosk.page.waitForSelector('[data-ready]');
  return kiosk.page;
}

describe.each(lessons)('the screens of $module in $language', (lesson) => {
  test('hold their words and buttons without scrolling, large enough and apart', async () => {
    const page = await open(lesson);
    const found: Record<string, string[]> = {};
    for (const panel of panels) {
      await page.setViewportSize(panel);
      const wrong = await page.evaluate(
        (one) =>
          window.screenNames.map((name) => {
            window.showScreen(name);
            return { name, misfits: window.misfits(one) };
          }),
        panel,
      );
      for (const { name, misfits } of wrong)
        if (misfits.length > 0) found[`${name} at ${panel.width} x ${panel.height}`] = misfits;
    }
    expect(found).toEqual({});
    expect(await page.evaluate(() => document.documentElement.lang)).toBe(lesson.language);
  });
});

describe('on a small panel of many pixels', () => {
  test('all is drawn as large as on the smallest panel meant, once its width is known', async () => {
    const page = await open({ module: 'inhaler-spacer', language: 'fr' });
    const panel = { width: 1920, height: 1200, widthMm: 215, distance: 400 };
    await page.setViewportSize(panel);
    const found = await page.evaluate((one) => {
      window.showScreen('explain');
      const before = window.measure(one);
      window.fitScreen(one.widthMm);
      return {
        before,
        after: window.screenNames.flatMap((name) => {
          window.showScreen(name);
          return window.misfits(one).map((misfit) => `${name}: ${misfit}`);
        }),
      };
    }, panel);
    expect(found.before.letters).toBeLessThan(4.8);
    expect(found.before.target).toBeLessThan(18);
    expect(found.after).toEqual([]);
  });
});

describe('captions', () => {
  test('may grow from one line to three without moving the main button', async () => {
    const page = await open({ module: 'inhaler-spacer', language: 'en' });
    for (const panel of panels) {
      await page.setViewportSize(panel);
      const moved = await page.evaluate(() => {
        const sentence = 'So many words go on a line, or so. ';
        const box = (name: string, times: number) => {
          window.showScreen(name, [sentence.repeat(times)]);
          const { x, y, width, height } = document
            .querySelector('footer button, [data-screen=cards] footer button')!
            .getBoundingClientRect();
          const now = document.querySelector('[data-captions] > :last-child, [data-captions]')!;
          const { fontSize } = getComputedStyle(now);
          const words = document.createRange();
          words.selectNodeContents(now);
          const lines = words.getBoundingClientRect().height / Number.parseFloat(fontSize) / 1.2;
          return { at: [x, y, width, height].join(), lines: Math.round(lines) };
        };
        return ['explain', 'ask', 'sound-check', 'trouble', 'resume', 'summary', 'cards', 'show-me'].map(
          (name) => {
            const [one, more] = [box(name, 1), box(name, 3)];
            return { name, one, more };
          },
        );
      });
      for (const { name, one, more } of moved) expect(more.at, `${name} at ${panel.width}`).toBe(one.at);
      const [explain] = moved;
      expect(explain!.more.lines).toBeGreaterThanOrEqual(3);
    }
  });
});

describe.each(lessons.filter(({ module }) => module === 'inhaler-spacer'))(
  'while the kiosk or the learner speaks, in $language',
  (lesson) => {
    test('each sentence begins where the one before it began, and the picture stays as large', async () => {
      const page = await open(lesson);
      for (const panel of panels) {
        await page.setViewportSize(panel);
        const places = await page.evaluate(() =>
          window.taught.flatMap((teach) =>
            teach.map((sentence, index) => {
              window.showScreen('explain', teach.slice(Math.max(0, index - 1), index + 1));
              const [now, picture, button] = [
                '[data-captions] > :last-child',
                'main img',
                '[data-main] button',
              ].map((selector) => document.querySelector(selector)!.getBoundingClientRect());
              return { sentence, place: [now!.top, picture!.height, button!.top].map(Math.round).join() };
            }),
          ),
        );
        const [first] = places;
        expect(places.length).toBeGreaterThan(20);
        expect(
          places.filter(({ place }) => place !== first!.place),
          `${first!.place} at ${panel.width}`,
        ).toEqual([]);
      }
    });

    test('neither question nor ear nor main button moves, however long the words that are heard', async () => {
      const page = await open(lesson);
      for (const panel of panels) {
        await page.setViewportSize(panel);
        const seen = await page.evaluate(() => {
          const words = 'so many words and more ';
          const at = (name: string, times: number, listening: 'waiting' | 'hearing' | 'take-your-time') => {
            window.showScreen(name, undefined, { interim: words.repeat(times), listening, note: '' });
            const places = ['[data-captions]', 'svg[data-level]', '[data-main] button'].map((selector) => {
              const { x, y, width, height } = document.querySelector(selector)!.getBoundingClientRect();
              return [selector, x, y, width, height]
                .map((one) => (typeof one === 'number' ? Math.round(one) : one))
                .join(' ');
            });
            return { places, heard: document.querySelector('[data-heard]')!.textContent!.length };
          };
          return ['listen', 'listen-yes-no'].map((name) => ({
            name,
            silent: at(name, 0, 'waiting'),
            grown: [1, 3, 5, 40].map((times) => at(name, times, times < 40 ? 'hearing' : 'take-your-time')),
          }));
        });
        for (const { name, silent, grown } of seen) {
          for (const { places } of grown) expect(places, `${name} at ${panel.width}`).toEqual(silent.places);
          expect(silent.heard).toBe(0);
          expect(grown.at(-1)!.heard).toBeGreaterThan(800);
        }
      }
    });
  },
);

describe.each(lessons.filter(({ module }) => module === 'inhaler-spacer'))(
  'the screens in $language',
  (lesson) => {
    test('have no barrier that rules can find, by day and by night, on both panels', async () => {
      const page = await open(lesson);
      await bringAxe(page);
      const found: Record<string, string[]> = {};
      for (const panel of panels) {
        await page.setViewportSize(panel);
        const wrong = await page.evaluate(async (staff) => {
          const all: { at: string; barriers: string[] }[] = [];
          for (const name of [...window.screenNames, ...(staff ? window.staffScreens : [])]) {
            window.showScreen(name);
            for (const light of ['day', 'night'] as const) {
              window.setLight(light);
              const rules = light === 'night' ? 'of colour' : undefined;
              all.push({ at: `${name} by ${light}`, barriers: await window.barriers(rules) });
            }
          }
          return all;
        }, lesson.language === 'en');
        for (const { at, barriers } of wrong)
          if (barriers.length > 0) found[`${at} at ${panel.width}`] = barriers;
      }
      expect(found).toEqual({});
    });
  },
);

test('the screens of staff hold their words across, and figures keep their signs', async () => {
  const page = await open({ module: 'inhaler-spacer', language: 'en' });
  const found: Record<string, string[]> = {};
  for (const panel of panels) {
    await page.setViewportSize(panel);
    for (const name of await page.evaluate(() => window.staffScreens)) {
      const wrong = await page.evaluate(
        ([screen, one]) => {
          window.showScreen(screen);
          return [
            ...window.misfits(one).filter((misfit) => misfit.includes('wider than its room')),
            ...(document.body.textContent.match(/\d %/g) ?? []),
          ];
        },
        [name, panel] as const,
      );
      if (wrong.length > 0) found[`${name} at ${panel.width}`] = wrong;
    }
  }
  expect(found).toEqual({});
});

test('every screen has a sound tree for screen readers, and Tab comes by each button in order and in sight', async () => {
  const language = 'en';
  const page = await open({ module: 'inhaler-spacer', language });
  await page.setViewportSize(panels[0]!);
  const found: Record<string, string[]> = {};
  for (const name of await page.evaluate(() => window.screenNames)) {
    await page.evaluate((one) => window.showScreen(one), name);
    const wrong = await amissInTree(page, language);
    const buttons = await page.evaluate(() =>
      [
        ...(document.querySelector('dialog[open]') ?? document).querySelectorAll('button:not([disabled])'),
      ].map((button) => (button.ariaLabel ?? button.textContent)?.trim().replace(/\s+/g, ' ')),
    );
    const stops = await tabStops(page);
    const reached = stops.filter(({ field }) => field === 'button').map((stop) => stop.name);
    if (reached.join() !== buttons.join()) wrong.push(`Tab comes by ${reached.join(', ')}`);
    for (const stop of stops)
      if (!stop.ring || !stop.inSight) wrong.push(`the focus on "${stop.name}" cannot be seen`);
    if (wrong.length > 0) found[name] = wrong;
  }
  expect(found).toEqual({});
});
