import * as z from 'zod/mini';
import type { KioskView } from '../../../machines';
import { fill } from '../../../machines/script';
import type { VisitView } from '../../../machines/types';
import type { CommonFile } from '../../../phrasebanks/schema';
import { beforeSteps } from '../learner/beforeSteps';

/*
 * What a following window shows of the kiosk, and how it is told: messages between windows of one browser, which are
 * stored nowhere. No names, and nothing of what the learner said: such a window may stand where others see it.
 */

const line = z.string().check(z.maxLength(2_000));
const language = z.string().check(z.regex(/^[a-z]{2,3}(-[A-Za-z0-9]{2,8})*$/));

const stepSchema = z.strictObject({
  title: line,
  /** "Step 2 of 5". */
  where: line,
  index: z.int().check(z.gte(0)),
  count: z.int().check(z.gte(1), z.lte(100)),
  /** Below /pictures/. */
  picture: z.string().check(z.regex(/^[a-z0-9-]+(\/[a-z0-9-]+)*\.svg$/)),
  pictureText: line,
});

export const followViewSchema = z.discriminatedUnion('show', [
  z.strictObject({ show: z.literal('idle'), language, title: line }),
  z.strictObject({ show: z.literal('covered'), language, text: line }),
  z.strictObject({ show: z.literal('help'), language, title: line, text: line }),
  z.strictObject({
    show: z.literal('visit'),
    language,
    title: line,
    step: z.nullable(stepSchema),
    captions: z.array(line).check(z.maxLength(100)),
    /** Which of them sounds now; -1: none. */
    speaking: z.int().check(z.gte(-1)),
    /** How the ear stands, in words; empty: it is closed. */
    listening: line,
  }),
]);
export type FollowView = z.infer<typeof followViewSchema>;

/** From a following window: somebody follows. From the kiosk: what to show. */
export const followMessageSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('hello') }),
  z.strictObject({ kind: z.literal('view'), view: followViewSchema }),
]);
export type FollowMessage = z.infer<typeof followMessageSchema>;

/** What a following window shows of what the kiosk shows. Pure. */
export function followView({ screen, captions, visit }: KioskView, common: CommonFile): FollowView {
  const { screens: words, language } = common;
  if (screen === 'hidden' || screen === 'parked')
    return { show: 'covered', language, text: captions.join(' ') };
  if (!visit) return { show: 'idle', language, title: words.idleTitle };
  if (visit.screen === 'help') {
    const text = visit.captions.join(' ') || words.helpText;
    return { show: 'help', language, title: words.helpTitle, text };
  }
  const { step } = visit;
  const inStep = step !== null && !beforeSteps.has(visit.screen);
  return {
    show: 'visit',
    language,
    title: words.idleTitle,
    step: inStep
      ? {
          title: step.title,
          where: fill(words.step, { index: `${step.index + 1}`, count: `${step.count}` }),
          ...{ index: step.index, count: step.count, picture: step.picture, pictureText: step.pictureText },
        }
      : null,
    ...(screen === 'still-there' ? { captions, speaking: -1 } : said(visit, common)),
    listening: visit.listening === 'off' ? '' : words.listening[visit.listening],
  };
}

/** What is said, without what the learner said. While the ear is open the question stands there. */
function said(view: VisitView, { screens: words }: CommonFile): Pick<VisitView, 'captions' | 'speaking'> {
  if (view.screen === 'confirm') return { captions: [words.isThatRight], speaking: -1 };
  if (view.screen === 'think') return { captions: view.note ? [view.note] : [], speaking: -1 };
  if (view.listening !== 'off') {
    return { captions: [view.question || (view.captions.at(-1) ?? '')], speaking: -1 };
  }
  const theirs = view.heard?.text.trim();
  return {
    captions: view.captions.map((sentence) => (theirs && sentence.includes(theirs) ? '' : sentence)),
    speaking: view.speaking,
  };
}
