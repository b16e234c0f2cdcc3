import { fromCallback, fromPromise } from 'xstate';
import type {
  Answer,
  InterpretInput,
  JudgeCardsInput,
  ListenTakes,
  QuestionInput,
  Services,
  SpeakInput,
} from '../../../machines/services';
import type { JudgeInput, Meaning, TurnRequest } from '../../../machines/types';
import { loadPack } from '../../../phrasebanks/languages/load';
import { weighSound } from '../../hearing/audio/weigh';
import type { EndReason, HearEvent, Hearing } from '../../hearing/types';
import type { VisitFact } from '../../records/types';
import {
  answersInstead,
  cardsFor,
  compileStep,
  findAnswer,
  interpret,
  judge,
  judgeCards,
  orderAmong,
  phrasesFor,
  wordsOfAnswers,
  yesNo,
} from '../../scoring';
import type { Finding } from '../../scoring/types';
import type { Speaking } from '../../speaking/types';
import type { Ear } from '../ears';
import type { FullLesson } from '../lessons';
import { anytimePhrases } from './anytime';
import { playEarcon } from './earcon';

export interface World {
  /** The lesson of the visit that runs. */
  lesson: () => FullLesson;
  /** Asks which ear is there; may change between turns (a microphone is plugged in, a worker dies). */
  ear: (language: string) => Promise<Ear>;
  /** The ear did not work; it is left out from then on, while there is another. */
  earFailed: (hearing: Hearing) => void;
  voice: Speaking;
  /** Whatever else is being said falls silent: the visit speaks or listens now. */
  hush: () => void;
  store: (facts: VisitFact[]) => Promise<unknown>;
  callStaff: Services['callStaff'];
}

/** Ends that are the engine's own fault, not the room's. */
const engineTrouble = new Set<EndReason>(['engine-failed', 'language-missing', 'network']);

/** The order of the cards: the same for the same question, so that a repeated question does not shuffle. */
export const cardSeed = (concepts: readonly string[]) =>
  [...concepts.join(' ')].reduce((sum, letter) => (sum * 31 + letter.charCodeAt(0)) >>> 0, 7);

/** The real services, for whatever visit runs. */
export function servicesOf(world: World): Services {
  const { lesson } = world;
  return {
    speak: fromCallback<{ type: 'none' }, SpeakInput>(({ input, sendBack }) => {
      const stop = new AbortController();
      world.hush();
      world.voice
        .speak({ ...input, onSentence: (index) => sendBack({ type: 'SPEAKING', index }) }, stop.signal)
        .then((end) => {
          if (!stop.signal.aborted) sendBack({ type: 'SPOKEN', end });
        });
      return () => stop.abort();
    }),

    listen: fromCallback<ListenTakes, TurnRequest>(({ input, sendBack, receive }) => {
      world.hush();
      const abort = new AbortController();
      const done = new AbortController();
      receive((event) => {
        if (event.type === 'DONE') done.abort();
      });
      const run = async () => {
        const { hearing, why, reason = 'engine-failed' } = await world.ear(input.language);
        if (abort.signal.aborted) return;
        if (!hearing) {
          sendBack({ type: 'HEARING', event: { type: 'end', reason, detail: why } });
          return;
        }
        sendBack({ type: 'ENGINE', ear: hearing.id, why });
        const request = {
          language: input.language,
          // A yes or a no has nothing to do with the module's words.
          module: input.kind === 'yes-no' ? '' : input.module,
          step: input.step,
          phrases: phrasesOf(input, lesson()),
          likely:
            input.kind === 'yes-no' ? [...lesson().common.commands.yes, ...lesson().common.commands.no] : [],
          done: done.signal,
        };
        const events: HearEvent[] = [];
        for await (const event of hearing.listen(request, abort.signal)) {
          if (event.type === 'end' && engineTrouble.has(event.reason)) world.earFailed(hearing);
          if (abort.signal.aborted) return;
          events.push(event);
          const sound = event.type === 'end' ? weighSound(events) : null;
          if (sound) sendBack({ type: 'SOUND', sound });
          sendBack({ type: 'HEARING', event });
        }
      };
      run().catch((error: unknown) => {
        if (!abort.signal.aborted) {
          sendBack({
            type: 'HEARING',
            event: { type: 'end', reason: 'engine-failed', detail: String(error) },
          });
        }
      });
      return () => abort.abort();
    }),

    interpret: fromPromise<Meaning, InterpretInput>(async ({ input }) => {
      const { common } = lesson();
      const pack = await loadPack(input.language);
      const about = wordsOfAnswers(lesson().judging, pack);
      const meaning = interpret(input.heard, common, input.kind, pack, about);
      if (meaning.kind === 'command' && input.concepts.length > 0 && input.kind !== 'yes-no') {
        const step = compileStep(lesson().judging, input.concepts, pack);
        const plain = { text: input.heard.text, confidence: 1, alternatives: [] };
        if (answersInstead(meaning.command, input.kind, input.heard.text, judge(plain, step, pack), pack))
          return { kind: 'answer' };
      }
      if (input.kind !== 'yes-no' || meaning.kind !== 'answer') return meaning;
      // "Yes, that is what I said" is no bare command, yet it is a yes.
      const answer = yesNo(input.heard, common, pack);
      return answer ? { kind: 'command', command: answer } : meaning;
    }),

    judge: fromPromise<Finding[], JudgeInput>(async ({ input }) => {
      const pack = await loadPack(input.language);
      return judge(input.heard, compileStep(lesson().judging, input.concepts, pack), pack);
    }),

    judgeCards: fromPromise<Finding[], JudgeCardsInput>(async ({ input: { concepts, cards } }) => {
      const { judging } = lesson();
      const offered = cardsFor(judging, concepts, cardSeed(concepts));
      return judgeCards(offered, cards, concepts, orderAmong(judging, concepts));
    }),

    answerQuestion: fromPromise<Answer, QuestionInput>(async ({ input }) => {
      const found = findAnswer(input.text, lesson().teaching.answers, await loadPack(input.language));
      return found ? { id: found.id, says: found.says } : null;
    }),

    record: fromPromise<void, VisitFact[]>(async ({ input }) => {
      await world.store(input);
    }),

    playEarcon,
    callStaff: world.callStaff,
  };
}

/** What the recogniser listens for: the concepts asked for, and whatever may be said at any time. */
function phrasesOf(request: TurnRequest, { judging, common, teaching }: FullLesson): string[] {
  const anytime = anytimePhrases(common);
  switch (request.kind) {
    case 'yes-no':
      return anytime;
    case 'question':
      return [...teaching.answers.flatMap((answer) => answer.asks), ...anytime];
    default:
      return [...phrasesFor(judging, request.concepts), ...anytime];
  }
}
