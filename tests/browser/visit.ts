import type { Page } from 'playwright-core';
import { tokens } from '../../src/hearing/embedded/tokens';
import { wordErrorRate, wordErrors } from '../bench/wer';
import type { Kiosk } from './chromium';
import { answerTo } from './learner';
import type { Played } from './microphone';
import type { Voice } from './voices';

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

export function look(page: Page): Promise<Sight> {
  return page.evaluate(() => {
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
  });
}

/** Looks again and again until something holds. Fails with what was last seen. */
export async function until(
  page: Page,
  what: string,
  holds: (sight: Sight) => boolean,
  limit = 60_000,
): Promise<Sight> {
  const end = Date.now() + limit;
  for (;;) {
    const sight = await look(page);
    if (holds(sight)) return sight;
    if (Date.now() > end)
      throw new Error(`waited ${limit / 1000} s for ${what}; last seen ${JSON.stringify(sight)}`);
    await page.waitForTimeout(100);
  }
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
  /** Press "I am done" after speaking, instead of waiting for the kiosk to notice. */
  done?: string;
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
      await kiosk.page.waitForTimeout(100);
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
    if (how.done)
      await kiosk.page
        .getByRole('button', { name: how.done })
        .click({ timeout: 1_000 })
        .catch(() => {});
    await until(
      kiosk.page,
      'the end of the turn',
      (now) => !open.has(now.listening) || now.screen !== sight.screen,
      40_000,
    );
  }
}
