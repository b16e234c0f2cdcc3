import { readFileSync } from 'node:fs';
import { setTimeout as delay } from 'node:timers/promises';
import type { Locator, Page } from 'playwright-core';
import { readCommon, readJudging, readTeaching } from '../../phrasebanks/read';
import { tokens } from '../../src/hearing/embedded/tokens';
import { type SummaryFile, summarySchema } from '../../src/records/summary-schema';
import { wordErrorRate, wordErrors } from '../bench/wer';
import type { Kiosk } from './chromium';
import { answerTo } from './learner';
import type { Played } from './microphone';
import type { Voice } from './voices';
import { en, wordsIn } from './words';

/** What a person in front of the kiosk can tell about it; read from the page. */
export interface Sight {
  screen: string;
  step: string;
  attempt: number;
  listening: string;
  asked: string[];
  captions: string;
  heard: string;
  ear: string;
}

/** Runs in the page: what is seen as soon as that is no longer `last`, at the latest after so many ms. */
function watch({ last, ms }: { last: Sight | null; ms: number }): Promise<Sight> {
  const read = (): Sight => {
    const root = document.querySelector<HTMLElement>('[data-screen]');
    const text = (selector: string) =>
      [...(document.querySelector(selector)?.childNodes ?? [])]
        .map((node) => node.textContent?.trim())
        .join(' ');
    return {
      screen: root?.dataset.screen ?? '',
      step: root?.dataset.step ?? '',
      attempt: Number(root?.dataset.attempt ?? 0),
      listening: root?.dataset.listening ?? '',
      asked: (root?.dataset.asked ?? '').split(' ').filter(Boolean),
      captions: text('[data-captions]'),
      heard: text('[data-heard]'),
      ear: root?.dataset.ear ?? '',
    };
  };
  return new Promise((done) => {
    const observer = new MutationObserver(() => tell(false));
    const timer = setTimeout(() => tell(true), ms);
    const tell = (late: boolean) => {
      const now = read();
      if (!late && JSON.stringify(now) === JSON.stringify(last)) return;
      observer.disconnect();
      clearTimeout(timer);
      done(now);
    };
    observer.observe(document, { subtree: true, childList: true, attributes: true, characterData: true });
    tell(last === null);
  });
}

export const look = (page: Page): Promise<Sight> => page.evaluate(watch, { last: null, ms: 0 });

/** Looks again once something else is seen, at the latest after so many ms. */
async function lookAgain(page: Page, last: Sight, ms: number): Promise<Sight> {
  const enough = new AbortController();
  // Where a test holds the clock of the page, the page never finds it late.
  const late = delay(ms + 1_000, undefined, { signal: enough.signal }).then(() => look(page));
  try {
    return await Promise.race([page.evaluate(watch, { last, ms }), late]);
  } catch (error) {
    // The page was loaded anew meanwhile.
    if (/context was destroyed/.test(String(error))) return look(page);
    throw error;
  } finally {
    enough.abort();
  }
}

/** Looks again and again until something holds. Fails with what was last seen. */
export async function until(
  page: Page,
  what: string,
  holds: (sight: Sight) => boolean,
  limit = 60_000,
): Promise<Sight> {
  const end = Date.now() + limit;
  for (let sight = await look(page); ; sight = await lookAgain(page, sight, 500)) {
    if (holds(sight)) return sight;
    if (Date.now() > end)
      throw new Error(`waited ${limit / 1000} s for ${what}; last seen ${JSON.stringify(sight)}`);
  }
}

/** Screens on which the kiosk speaks and the big button goes on. */
const spoken = new Set(['explain', 'ask', 'respond', 'handover', 'answer', 'summary']);

/** Presses a button. Waits for it as long as the page waits for anything, and fails with what was in the way. */
export const press = (page: Page, name: string): Promise<void> =>
  page.getByRole('button', { name, exact: true }).click();

/**
 * Presses the first of these buttons that is there at this moment and takes the press within a second, which on a
 * busy machine it may not: for those who look again and again. @returns was one pressed?
 */
export async function tryPress(where: Page | Locator, ...names: string[]): Promise<boolean> {
  for (const name of names) {
    const button = where.getByRole('button', { name, exact: true });
    // It may go away in this very moment; whoever called will look again.
    if ((await button.count()) === 1 && (await button.isEnabled({ timeout: 500 }).catch(() => false))) {
      const pressed = await button.click({ timeout: 1_000 }).then(
        () => true,
        () => false,
      );
      if (pressed) return true;
    }
  }
  return false;
}

/** Only while this screen is there: the next one may have buttons of the same names. */
const within = (page: Page, { screen }: Sight) => page.locator(`[data-screen="${screen}"]`);

/** Starts the practice visit from the idle screen. Fails with what the kiosk tells staff when it cannot. */
export async function startPractice(page: Page, words = en): Promise<void> {
  await press(page, words.practice);
  await until(page, 'a visit', ({ screen }) => screen !== 'idle', 20_000).catch(async () => {
    throw new Error(`the practice visit did not start: ${await page.locator('main').textContent()}`);
  });
}

/** On the start form: ticks the inhaler with a spacer, whole or one step of it. */
export async function chooseLesson(page: Page, only?: string): Promise<void> {
  const { title, steps } = readTeaching('inhaler-spacer', 'en');
  await page.getByRole('checkbox', { name: title, exact: true }).check();
  for (const [id, { title: part }] of Object.entries(steps))
    if (only && id !== only) await page.getByLabel(part, { exact: true }).uncheck();
}

const open = new Set(['waiting', 'hearing', 'pausing', 'take-your-time']);

/** One thing said into the microphone. */
export interface Said extends Played {
  step: string;
  attempt: number;
  asked: string[];
  /** The last thing the kiosk said or showed before. */
  question: string;
  text: string;
}

/** Share of words that differ, 0 = none; capitals, numbers and punctuation do not count. */
export function differs(said: string, heard: string): number {
  return wordErrorRate(wordErrors(tokens(said), tokens(heard)));
}

function reply(sight: Sight, last: Said | undefined): string {
  if (sight.screen === 'confirm') return last && differs(last.text, sight.heard) > 0.8 ? 'no' : 'yes';
  if (sight.asked.length > 0) return answerTo(sight.step, sight.attempt, sight.asked);
  // "Do you have a question?" at the start and at the end; every other yes-no question gets a yes.
  return /question/i.test(sight.captions) ? 'no' : 'yes';
}

export interface Attendance {
  voice?: Voice;
  /** Press the big button rather than hear everything out or wait for the end of a turn to be noticed. */
  hurry?: boolean;
  said?: (turn: Said) => void;
  seen?: (sight: Sight) => Promise<void> | void;
}

/**
 * Sits in front of the kiosk and answers by voice whenever it listens, until something holds.
 * @returns everything that was said
 */
export async function attend(
  kiosk: Kiosk,
  finished: (sight: Sight) => boolean,
  limit: number,
  how: Attendance = {},
): Promise<Said[]> {
  const turns: Said[] = [];
  const end = Date.now() + limit;
  for (;;) {
    const sight = await look(kiosk.page);
    await how.seen?.(sight);
    if (finished(sight)) return turns;
    if (Date.now() > end)
      throw new Error(`no end after ${limit / 1000} s; last seen ${JSON.stringify(sight)}`);
    if (sight.listening !== 'waiting') {
      if (how.hurry && spoken.has(sight.screen))
        await tryPress(within(kiosk.page, sight), en.answerNow, en.next);
      await lookAgain(kiosk.page, sight, 200);
      continue;
    }
    const text = reply(sight, turns.at(-1));
    const played = await kiosk.say(text, how.voice);
    const turn = {
      ...played,
      text,
      step: sight.step,
      attempt: sight.attempt,
      asked: sight.asked,
      question: sight.captions,
    };
    turns.push(turn);
    how.said?.(turn);
    if (how.hurry) await tryPress(within(kiosk.page, sight), en.done);
    await until(
      kiosk.page,
      'the end of the turn',
      (now) => !open.has(now.listening) || now.screen !== sight.screen,
      40_000,
    );
  }
}

async function chooseCards(page: Page, language: string) {
  const { concepts } = readJudging('inhaler-spacer', language);
  const rightCards = new Set(Object.values(concepts).map((concept) => concept.says));
  const words = wordsIn(language);
  // One point after the other.
  do {
    // In the order of the module: at the end they may have to be put in order.
    for (const says of rightCards) {
      const card = page.locator('button[aria-pressed=false]', { hasText: says });
      if ((await card.count()) === 1) await card.click();
    }
  } while (!(await tryPress(page, words.cardsDone)) && (await tryPress(page, words.next)));
}

/** The clinician's part: ticks what the hands show, and nothing is left out when a press is not taken. */
async function watchHands(page: Page, words = en) {
  const point = page.getByRole('button', { name: words.shown, exact: true });
  while ((await point.count()) > 0) if (!(await tryPress(page, words.shown))) return;
  await tryPress(page, words.showMeDone);
}

/**
 * Goes through the visit by touch, always by the way that the screen offers, until something holds.
 * `byVoice`: leaves the questions of the steps to the microphone.
 */
export async function touch(
  page: Page,
  finished: (sight: Sight) => boolean,
  limit: number,
  seen: (sight: Sight) => Promise<void> | void = () => {},
  { byVoice = false, language = 'en' } = {},
): Promise<void> {
  const words = wordsIn(language);
  const { questionsFirst, anyQuestion, recheckIntro, sittingNow } = readCommon(language).prompts;
  // What leads to the question has the name of a device in it.
  const questions = [questionsFirst, anyQuestion, recheckIntro, sittingNow].map(
    (text) => text!.split('{')[0]!,
  );
  const end = Date.now() + limit;
  for (;;) {
    const sight = await look(page);
    await seen(sight);
    if (finished(sight)) return;
    if (Date.now() > end)
      throw new Error(`no end after ${limit / 1000} s; last seen ${JSON.stringify(sight)}`);
    const here = within(page, sight);
    if (byVoice && sight.screen === 'listen') {
      // Left to the microphone.
    } else if (sight.screen === 'cards') await chooseCards(page, language);
    else if (sight.screen === 'show-me') await watchHands(page, words);
    // The ear may have taken too long to load.
    else if (byVoice && sight.screen === 'trouble') await tryPress(here, words.useVoice);
    else if (sight.screen === 'listen' || sight.screen === 'trouble') await tryPress(here, words.useCards);
    else if (sight.screen === 'resume') await tryPress(here, words.resumeYes);
    else if (sight.screen === 'confirm') await tryPress(here, words.yes);
    // "Do you have a question?", at the start and at the end.
    else if (questions.some((question) => sight.captions.includes(question)))
      await tryPress(here, words.no, words.next);
    else if (sight.screen === 'sound-check') await tryPress(here, words.yes, words.next);
    else if (sight.screen === 'question') await tryPress(here, words.next, words.done);
    else if (spoken.has(sight.screen)) await tryPress(here, words.answerNow, words.next);
    await lookAgain(page, sight, 150);
  }
}

/** Past the sound check by its buttons, to the first thing that is taught. */
export const passSoundCheck = (page: Page) => touch(page, ({ screen }) => screen === 'explain', 90_000);

/** Saves the summary as a person would, by its button. Throws when the file is not of its own format. */
export async function saveSummary(page: Page, path?: string, words = en): Promise<SummaryFile> {
  const [download] = await Promise.all([page.waitForEvent('download'), press(page, words.save)]);
  if (path) await download.saveAs(path);
  return summarySchema.parse(JSON.parse(readFileSync(path ?? (await download.path()), 'utf8')));
}

/** The kiosk has found out whether there is a visit to go on with. */
export const isUp = ({ screen }: Sight) => screen !== '' && screen !== 'opening';

export const isOver = (sight: Sight) => sight.screen === 'ended';
